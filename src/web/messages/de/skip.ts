/** Was ausgelassen wird, wenn der Wagen früh voll ist, und was nie. */
import type { skip as english } from '../en/skip.ts';
import { formatsIn } from '../formats.ts';

const f = formatsIn('de');
const MOST_LEFT_OUT = 4;

export const skip: typeof english = {
  why: { promised: 'zugesagt', booked: 'bestellt', pinned: 'von der Einsatzleitung festgelegt' },
  fullEarly: (risk) => `Mit ${f.percent(risk)} Wahrscheinlichkeit ist der Wagen vor dem letzten Halt voll.`,
  trips: (trips) =>
    trips.map(({ fullEarlyRisk, leftBehindRisk, fullBy }, i) => {
      const start = trips.length === 1 ? '' : `Fahrt ${i + 1}: `;
      const first = fullBy === 'payload' ? 'das Gewicht' : 'der Platz';
      return `${start}${f.percent(fullEarlyRisk)} Wahrscheinlichkeit, vor dem letzten Halt voll zu sein, ${f.percent(leftBehindRisk)}, dass nicht alles passt; zuerst ist ${first} erschöpft.`;
    }),
  fullMeans: ({ payloadKg, loadSpaceL }) =>
    `Voll heißt ${f.kg(payloadKg)} oder ${f.litres(loadSpaceL)}, je nachdem, was zuerst erreicht ist. Nie schwerer laden, als das Typenschild erlaubt, auch wenn noch Platz ist; Typenschild und örtliche Regeln gehen diesem Blatt vor.`,
  leaveOutFirst(names) {
    const [first, ...rest] = names.slice(0, MOST_LEFT_OUT);
    if (first === undefined)
      return 'Jeder Halt dieser Tour ist zugesagt: Keiner darf ausfallen. Rufen Sie die Werkstatt an.';
    const more = names.length > MOST_LEFT_OUT ? ' Reicht das nicht, rufen Sie die Werkstatt an.' : '';
    return `Zuerst ${first} auslassen${rest.map((name) => `, dann ${name}`).join('')}.${more}`;
  },
  never: (kept) =>
    kept.length === 0 ? '' : `Nie ${kept.map(({ name, why }) => `${name} (${why})`).join(' oder ')}.`,
};
