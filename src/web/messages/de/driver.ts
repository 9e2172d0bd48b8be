/** Was nur das Tourenblatt sagt: Warnungen, Rückfragen, Ergebnisse und Ablehnungen als Sätze. */
import type { Kg } from '../../../core/quantity/units.ts';
import type { driver as english, Lift } from '../en/driver.ts';
import { formatsIn, time } from '../formats.ts';
import { words } from './words.ts';

const f = formatsIn('de');

const THING: { readonly [what in Lift['what']]: string } = {
  bag: 'Ein Sack',
  sack: 'Ein Sack',
  'bulk-bag': 'Ein voller Großsack',
  cage: 'Ein voller Gitterwagen',
  'wheeled-bin': 'Eine volle Rolltonne',
  crate: 'Eine volle Kiste',
};

const thrownOut = (rejectedKg: Kg, why: string | undefined): string => {
  if (rejectedKg === 0) return why ? `; etwas aussortiert (${why})` : '';
  return `; ${f.kg(rejectedKg)} aussortiert${why ? ` (${why})` : ''}`;
};

export const driver: typeof english = {
  bagsExpected({ expectedKg, lowKg, highKg, bagKg }) {
    const of = (kg: Kg): string => f.number(Math.round(kg / bagKg));
    const bags = Math.round(expectedKg / bagKg);
    return `${of(expectedKg)} ${bags === 1 ? 'Sack' : 'Säcke'} (${of(lowKg)}–${of(highKg)})`;
  },
  kgExpected: ({ expectedKg, lowKg, highKg }) => `${f.kg(expectedKg)} (${f.kgRange(lowKg, highKg)})`,
  litresExpected: ({ expectedKg, lowKg, highKg, litresPerKg }) =>
    `${f.litres(expectedKg * litresPerKg)} (${f.number(lowKg * litresPerKg)}–${f.number(highKg * litresPerKg)})`,
  lift: ({ what, kg, level }) =>
    level === 'assess'
      ? `${THING[what]} wiegt hier etwa ${f.kg(kg)}: zu viel, um für eine Person als sicher zu gelten. Teilen, Karre nehmen oder zu zweit heben.`
      : `${THING[what]} wiegt hier etwa ${f.kg(kg)}: nah am Körper tragen, zwischen Knie und Ellbogen, nicht höher heben.`,
  load: {
    'over-payload': (load, { payloadKg }) =>
      `Überladen: ${f.kg(load.kg)} in einem Wagen, der ${f.kg(payloadKg)} tragen darf. So nicht weiterfahren: erst entladen oder Folie stehen lassen.`,
    'over-load-space': (load, { loadSpaceL }) =>
      `Nach unserer Rechnung ist der Wagen übervoll: ${f.litres(load.litres)} in ${f.litres(loadSpaceL)}. Erst nachsehen, dann weiterladen; Sicht, Türen und Gurte müssen frei bleiben.`,
    'nearly-full': (load, { payloadKg, loadSpaceL }) =>
      `Fast voll: ${f.kg(load.kg)} von ${f.kg(payloadKg)}, ${f.litres(load.litres)} von ${f.litres(loadSpaceL)}.`,
  },
  passed: {
    payload: (name) =>
      `Voraussichtlich wäre der Wagen bei ${name} zu schwer. Vorher entladen oder einen Halt auslassen.`,
    'load-space': (name) =>
      `Voraussichtlich wäre der Wagen bei ${name} voll. Vorher entladen oder einen Halt auslassen.`,
  },
  question(asked) {
    switch (asked.kind) {
      case 'much-more':
      case 'much-less':
        return `Stimmen ${f.kg(asked.kg)}? Erwartet waren ${f.kgRange(asked.lowKg, asked.highKg)}.`;
      case 'over-payload':
        return `Stimmen ${f.kg(asked.kg)}? Der Wagen darf insgesamt ${f.kg(asked.payloadKg)} tragen.`;
      case 'odd-bags':
        return `Stimmt das? Das wären ${f.kg(asked.kgPerBag)} je Sack; hier wiegt ein Sack sonst ${f.kg(asked.bagKg)}.`;
    }
  },
  outcome(outcome) {
    if (outcome.kind === 'missed')
      return `Nicht abgeholt (${words.missed[outcome.reason]})${outcome.note === '' ? '' : `: ${outcome.note}`}`;
    const { netKg, bags, foundFull, rejectedKg, rejectReason } = outcome;
    const what = [
      netKg === undefined ? undefined : f.kg(netKg),
      bags === undefined
        ? undefined
        : `${f.number(bags, bags % 1 === 0 ? 0 : 1)} ${bags === 1 ? 'Sack' : 'Säcke'}`,
      foundFull ? 'voll vorgefunden' : undefined,
    ].filter(Boolean);
    return what.join(', ') + thrownOut(rejectedKg, rejectReason && words.reject[rejectReason]);
  },
  open: (spans, zone) =>
    spans.map(({ fromAt, untilAt }) => `${time(fromAt, zone)}–${time(untilAt, zone)}`).join(' und '),
  refusals: {
    'stop-not-found': 'Dieser Halt steht auf keiner Ihrer Touren.',
    'already-weighed':
      'Für diesen Halt ist schon gewogen worden. Ist etwas falsch, berichtigen Sie es unten.',
    'not-the-latest':
      'Die Wiegung wurde inzwischen berichtigt. Sehen Sie nach, was jetzt gilt, bevor Sie noch einmal berichtigen.',
    'already-missed': 'Dieser Halt ist schon als nicht abgeholt gemeldet.',
    'fact-differs':
      'Dieses Formular wurde schon mit anderen Angaben abgegeben. Sehen Sie nach, was jetzt gilt, und berichtigen Sie es, wenn es falsch ist.',
    'still-to-come':
      'Die Zeit der Abholung liegt in der Zukunft. Berichtigen Sie sie, oder lassen Sie sie leer.',
  },
};
