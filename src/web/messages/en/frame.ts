/** What stands around every page of a donor or a driver, on the way in, and where a page cannot be shown. */

export type ErrorWords = { readonly title: string; readonly sentence: string };

export const frame = {
  skip: 'Skip to the page',
  main: 'Main',
  leave: 'Leave',
  otherLanguage: 'This page in another language',
  navigation: { driver: 'Run sheet', donor: 'Your collections' },
  foot: {
    driver:
      'Lift within your own limits and the workshop’s rules. If a place looks unsafe, leave it and say why.',
    donor: 'This page is private to you. Whoever holds its link can read it.',
  },
  purpose: 'Feedround plans the collection of waste film for a small workshop.',
  /** Above a form in which something is wrong. */
  lookAgain: 'Something needs another look; it is marked below.',
};

export const entry = {
  comeIn: 'Come in',
  greeting: (name: string): string => `Good to see you, ${name}`,
  desk: 'The coordinator’s desk',
  opens: {
    coordinator:
      'This link opens the week sheet, the register of sites, production and the links of everyone else.',
    driver:
      'This link opens your run sheet: the stops of today’s round in order, and a place to hand in what you find.',
    donor:
      'This link opens your own page: when we come next, how full we think it is, and a way to ask us to come sooner.',
  },
  worksOnce: 'This link works once: after you have come in, it opens nothing any more.',
  staysSignedIn: 'This device stays signed in until you leave. Do not use it on a shared computer.',
  signIn: 'Sign in',
  noPasswords: 'There are no passwords here. Everyone comes in by a private link.',
  coordinators: 'Coordinators',
  onTheMachine: 'On the machine that runs Feedround:',
  printsLink: 'It prints a link that works once.',
  driversAndDonors: 'Drivers and donors',
  askCoordinator: 'Ask the coordinator. A new link takes a minute to make, and the old one can be withdrawn.',
};

export const errors = {
  malformed: {
    title: 'The request could not be read',
    sentence: 'Go back to the page and send it again.',
  },
  'sign-in-needed': {
    title: 'Sign in first',
    sentence:
      'This page opens with a private link. If yours no longer works, ask the workshop for a new one.',
  },
  'not-yours': {
    title: 'This is for someone else',
    sentence: 'You are signed in, but this page belongs to someone else.',
  },
  'foreign-origin': {
    title: 'The request came from another site',
    sentence:
      'For your safety we only take forms from our own pages. Open the page again and send it from there.',
  },
  'not-found': {
    title: 'There is nothing here',
    sentence: 'The address may be mistyped, or the page may be gone.',
  },
  'no-such-site': {
    title: 'No such site',
    sentence: 'It may have been removed from the register. The list of sites has all that are there.',
  },
  'no-such-round': {
    title: 'No such round',
    sentence: 'The plan it belonged to may have been replaced. The week sheet shows the newest one.',
  },
  'no-such-stop': {
    title: 'No such stop',
    sentence: 'It is not on your rounds, or the plan was replaced. The run sheet has all that are.',
  },
  'link-spent': {
    title: 'This link has been used, withdrawn or has expired',
    sentence: 'Ask the workshop for a new link.',
  },
  'too-large': {
    title: 'The body is too large',
    sentence: 'Send less at a time.',
  },
  'too-many': {
    title: 'Too many requests',
    sentence: 'Wait a while, then try again. If it is urgent, call the workshop.',
  },
  internal: {
    title: 'Something broke on our side',
    sentence:
      'It is not your doing, and nothing you sent was half kept. Try again; if it happens twice, tell us.',
  },
  busy: {
    title: 'Busy; try again in a moment',
    sentence: 'Another change is being written. Go back and send it again.',
  },
};
