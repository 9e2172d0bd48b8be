/** What an open page says of what happened since it was loaded. */

/** Of a site, to the people there and to the driver who stops there; `site` is its name. */
const told = {
  'weigh-in-recorded': (site: string) => `${site}: collected.`,
  'weigh-in-corrected': (site: string) => `${site}: a weigh-in was corrected.`,
  'stop-missed': (site: string) => `${site}: not collected.`,
  'container-reported-full': (site: string) => `${site}: reported full.`,
  'surge-announced': (site: string) => `${site}: an event that brings film was announced.`,
  'surge-changed': (site: string) => `${site}: an event that brings film was changed.`,
  'surge-cancelled': (site: string) => `${site}: an event that brings film was called off.`,
  'extra-collection-requested': (site: string) => `${site}: an extra collection was asked for.`,
  'extra-collection-confirmed': (site: string) => `${site}: an extra collection was confirmed.`,
  'extra-collection-changed': (site: string) => `${site}: an extra collection was changed.`,
  'extra-collection-cancelled': (site: string) => `${site}: an extra collection was cancelled.`,
};

export const live = {
  told,
  partlyFull: (site: string) => `${site}: reported how full it is.`,
  rounds: 'Your rounds have changed.',
  away: 'Your days have changed.',
  van: (van: string) => `${van}: whether it drives has changed.`,
  visits: (sites: string) => `${sites}: we come at another time.`,
  show: 'Show the page as it is now',
  beside: 'What you typed stays here: show the page as it is now in another tab',
  notNow: 'Not now',
  oneMore: 'and one thing more',
  /** {n} is how many. */
  more: 'and {n} things more',
  reset: 'Much has happened since this page was loaded.',
};
