/** Was aus der Folie wurde, auf der Seite und im Jahresnachweis: verwertet, nur in Kilogramm. */
import type { Kg } from '../../../core/quantity/units.ts';
import type { became as english } from '../en/became.ts';
import { formatsIn } from '../formats.ts';

const f = formatsIn('de');
const about = (isGuessed: boolean, kg: Kg): string => (isGuessed ? `etwa ${f.kg(kg)}` : f.kg(kg));

export const became: typeof english = {
  title: 'Was aus Ihrer Folie wurde',
  none: 'In den letzten zwölf Monaten wurde nichts abgeholt.',
  accepted: (kg, isGuessed) => (isGuessed ? `Etwa ${f.kg(kg)}` : f.kg(kg)),
  lead: (months, share) =>
    `Folie waren in diesen ${months} Monaten sauber genug zum Pressen, ${f.percent(share)} von dem, was wir abgeholt haben.`,
  more: (kg) => `${f.kg(kg)} mehr als in den zwölf Monaten davor.`,
  less: (kg) => `${f.kg(kg)} weniger als in den zwölf Monaten davor.`,
  same: 'So viel wie in den zwölf Monaten davor.',
  products: (items) =>
    `Nach dem Rezept der Werkstatt reicht diese Folie für ${f.either(items.map(({ name, units }) => `${f.number(units)} × ${name}`))}.`,
  legendNow: 'angenommen',
  legendOut: 'aussortiert',
  legendBefore: 'angenommen im Jahr davor',
  asTable: 'Die Monate als Tabelle',
  caption: 'Angenommen ist, was sauber genug zum Pressen war; den Rest mussten wir aussortieren.',
  captionGuessed: ' „Etwa“: Dort wurden Säcke gezählt, nicht gewogen.',
  month: 'Monat',
  visits: 'Besuche',
  taken: 'Abgeholt',
  acceptedHead: 'Angenommen',
  share: 'Anteil',
  yearBefore: 'Jahr davor',
  soFar: 'bisher',
  together: 'Zusammen',
  monthName: (yearMonth) => f.monthYear(`${yearMonth}-01`),
  monthShort: (yearMonth) => f.monthShort(`${yearMonth}-01`),
  about,
  papers: 'Für Ihre Unterlagen',
  papersText:
    'Nachweis und einzelne Übergaben eines Kalenderjahres: angenommen, nicht abgeholt, in Kilogramm.',
  yearPaper: (year) => `${year} als PDF`,
  yearStatement: 'Monate (CSV)',
  yearTransfers: 'jede Abholung (CSV)',

  paper: {
    title: (year) => `Abgeholte Folie ${year}`,
    subject: (donor, workshop) => `Nachweis und Übergaben: ${donor}, ${workshop}`,
    for: 'Für',
    by: 'Abgeholt von',
    period: 'Zeitraum',
    year: (year) => `1. Januar bis 31. Dezember ${year}`,
    until: (year, day) => `1. Januar ${year} bis ${f.dayYear(day)}; das Jahr ist noch nicht zu Ende`,
    made: 'Erstellt am',
    statement: 'Nachweis',
    sentence: (accepted, collected, share) =>
      `${f.kg(accepted)} Folie wurden angenommen, von ${f.kg(collected)} abgeholten (${f.percent(share)}).`,
    meaning:
      'Angenommen ist Folie, die sauber genug für die Presse war: das Abgeholte ohne das Aussortierte. Nur dieser Wert zählt als der Entsorgung entzogen. Nur Kilogramm: Ein Kohlenstoffwert wird nicht angegeben.',
    guessed: (kg) =>
      `${f.kg(kg)} des Abgeholten wurden nicht gewogen, sondern aus Säcken oder vollen Behältern berechnet.`,
    transfers: 'Abholungen',
    transfersNote:
      'Kunststofffolie, nicht gefährlich. Die Liste kann als Anlage zu einem Übergabe- oder Begleitschein dienen; wo das Recht einen unterschriebenen Schein oder Schlüsselnummern verlangt, geht dieser vor. Bewahren Sie sie so lange auf, wie die örtlichen Regeln es verlangen.',
    day: 'Tag und Uhrzeit',
    place: 'Ort',
    how: 'Wie',
    bags: 'Säcke',
    collected: 'Abgeholt',
    rejected: 'Aussortiert',
    why: 'Warum',
    accepted: 'Angenommen',
    sum: 'Jahr',
    page: (page, pages) => `Seite ${page} von ${pages}`,
  },
};
