/** The page's address as it is to be seen now: without what was said after a form that was sent. */
const SAID = ['did', 'done', 'full'];

export function addressNow(): URL {
  const here = new URL(location.href);
  for (const name of SAID) here.searchParams.delete(name);
  return here;
}

/** Loads the page anew; browsers keep the place on it. */
export function showNow(): void {
  history.replaceState(history.state, '', addressNow());
  location.reload();
}
