/** Einzelne Wörter des Fachs, und warum ein Halt auf der Tour steht. */
import type { StopReason } from '../../../core/planning/plan.ts';
import type * as v from '../../../core/vocabulary.ts';
import type { words as english } from '../en/words.ts';
import { formatsIn, NBSP, timeSpan } from '../formats.ts';

const f = formatsIn('de');

const POLYMER: { readonly [p in v.Polymer]: string } = {
  ldpe: 'LDPE',
  hdpe: 'HDPE',
  pp: 'PP',
  'mixed-film': 'gemischte Folie',
};
const COLOUR: { readonly [c in v.Colour]: string } = {
  clear: 'klar',
  white: 'weiß',
  black: 'schwarz',
  warm: 'in warmen Farben',
  cool: 'in kühlen Farben',
  green: 'grün',
  printed: 'bedruckt',
};
const CONTAINER: { readonly [k in v.ContainerKind]: readonly [one: string, many: string] } = {
  sack: ['Sack', 'Säcke'],
  'bulk-bag': ['Großsack', 'Großsäcke'],
  cage: ['Gitterwagen', 'Gitterwagen'],
  'wheeled-bin': ['Rolltonne', 'Rolltonnen'],
  crate: ['Kiste', 'Kisten'],
};

function gradeName(grade: v.Grade): string {
  const polymer = (Object.keys(POLYMER) as v.Polymer[]).find((p) => grade.startsWith(`${p}-`))!;
  return `${POLYMER[polymer]} ${COLOUR[grade.slice(polymer.length + 1) as v.Colour]}`;
}

const promisedWindow = (reason: StopReason, zone: string): string =>
  reason.windowFromAt !== undefined && reason.windowUntilAt !== undefined
    ? `, ${timeSpan(reason.windowFromAt, reason.windowUntilAt, zone)} Uhr`
    : '';

function stopReason(reason: StopReason, zone: string): string {
  switch (reason.code) {
    case 'promised':
      return `Fest zugesagt${promisedWindow(reason, zone)}`;
    case 'booked':
      return `Vom Betrieb bestellt${promisedWindow(reason, zone)}`;
    case 'pinned':
      return 'Von der Einsatzleitung festgelegt';
    case 'overflow':
      return `Läuft sonst bis ${f.dayShort(reason.riskUntilDay)} mit ${f.percent(reason.overflowRisk)} Wahrscheinlichkeit über`;
    case 'feeds-production':
      return reason.grade && reason.shortDay
        ? `Sonst fehlt am ${f.dayShort(reason.shortDay)} ${gradeName(reason.grade)}`
        : 'Sonst fehlt Folie für die Produktion';
    case 'on-the-way':
      return `Liegt am Weg: ${f.duration(reason.extraS)} mehr`;
    case 'fill':
      return `Lohnt den Umweg von ${f.km(reason.extraM)} und ${f.duration(reason.extraS)}`;
    case 'habit':
      return 'Übliche Abholung';
  }
}

export const words: typeof english = {
  gradeName,
  stopReason,
  containers: (kind, count, litresEach) =>
    count === 1
      ? `1 ${CONTAINER[kind][0]} zu ${f.litres(litresEach)}`
      : `${count} ${CONTAINER[kind][1]} zu je ${f.litres(litresEach)}`,
  bags: (count) => `${f.number(count)}${NBSP}${count === 1 ? 'Sack' : 'Säcke'}`,
  sacks: (count) => `${f.number(count, count % 1 === 0 ? 0 : 1)}${NBSP}${count === 1 ? 'Sack' : 'Säcke'}`,
  siteKind: {
    shop: 'Laden',
    wholesaler: 'Großhandel',
    market: 'Markt',
    school: 'Schule',
    office: 'Büro',
    'drop-off': 'Sammelstelle',
    'one-off': 'einmaliger Ort',
  },
  commitment: { must: 'zugesagt', usual: 'üblich, kann sich verschieben' },
  event: {
    festival: 'Fest',
    'market-day': 'Markttag',
    'delivery-peak': 'viele Lieferungen',
    clearance: 'Räumung',
    'clean-up': 'Aufräumaktion',
    other: 'Anlass',
  },
  method: {
    scale: 'gewogen',
    'bag-count': 'Säcke gezählt',
    apportioned: 'Anteil einer ganzen Ladung',
    estimate: 'geschätzt',
  },
  missed: {
    closed: 'geschlossen',
    'nothing-there': 'nichts da',
    'no-access': 'kein Zugang',
    'unsafe-contents': 'Inhalt sah gefährlich aus',
    'van-full': 'Wagen voll',
    other: 'anderes',
  },
  reject: {
    food: 'Essensreste',
    sharps: 'Scharfes',
    pvc: 'PVC',
    'wrong-polymer': 'anderer Kunststoff',
    wet: 'nass',
    unknown: 'unbekannt',
  },
};
