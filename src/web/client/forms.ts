/**
 * On every page: a form that is on its way cannot be sent a second time by an impatient finger. Without scripts the
 * server's idempotency keys do the same; this only saves the wait for its answer.
 */
const sending = new WeakSet<HTMLFormElement>();

document.addEventListener('submit', (event) => {
  const form = event.target;
  if (!(form instanceof HTMLFormElement) || form.method !== 'post') return;
  if (sending.has(form)) {
    event.preventDefault();
    return;
  }
  sending.add(form);
  form.setAttribute('aria-busy', 'true');
  // A form that another script took over, or that the browser refused to send, may be sent again.
  queueMicrotask(() => {
    if (event.defaultPrevented) release(form);
  });
});

// A page that comes back from the browser's memory comes back with its forms still marked.
addEventListener('pageshow', () => {
  for (const form of document.forms) release(form);
});

function release(form: HTMLFormElement): void {
  sending.delete(form);
  form.removeAttribute('aria-busy');
}
