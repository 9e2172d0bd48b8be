/** Auf Deutsch; Form und Reihenfolge wie im Englischen. */
import type { live as english } from '../en/live.ts';

export const live: typeof english = {
  told: {
    'weigh-in-recorded': (site) => `${site}: abgeholt.`,
    'weigh-in-corrected': (site) => `${site}: eine Wägung wurde berichtigt.`,
    'stop-missed': (site) => `${site}: nicht abgeholt.`,
    'container-reported-full': (site) => `${site}: als voll gemeldet.`,
    'surge-announced': (site) => `${site}: ein Anlass, der Folie bringt, wurde angekündigt.`,
    'surge-changed': (site) => `${site}: ein Anlass, der Folie bringt, wurde geändert.`,
    'surge-cancelled': (site) => `${site}: ein Anlass, der Folie bringt, wurde abgesagt.`,
    'extra-collection-requested': (site) => `${site}: eine Sonderabholung wurde erbeten.`,
    'extra-collection-confirmed': (site) => `${site}: eine Sonderabholung wurde bestätigt.`,
    'extra-collection-changed': (site) => `${site}: eine Sonderabholung wurde geändert.`,
    'extra-collection-cancelled': (site) => `${site}: eine Sonderabholung wurde abgesagt.`,
  },
  partlyFull: (site) => `${site}: gemeldet, wie voll es ist.`,
  rounds: 'Ihre Touren haben sich geändert.',
  away: 'Ihre Tage haben sich geändert.',
  van: (van) => `${van}: ob er fährt, hat sich geändert.`,
  visits: (sites) => `${sites}: wir kommen zu einer anderen Zeit.`,
  show: 'Seite zeigen, wie sie jetzt ist',
  beside: 'Was Sie geschrieben haben, bleibt hier: Seite, wie sie jetzt ist, in einem anderen Reiter zeigen',
  notNow: 'Nicht jetzt',
  oneMore: 'und noch etwas',
  more: 'und {n} Dinge mehr',
  reset: 'Seit diese Seite geladen wurde, ist viel geschehen.',
};
