/** Eine Sonderabholung: was da ist, welche Tage möglich sind, was aus der Bestellung wurde. */
import type { Instant } from '../../../core/quantity/units.ts';
import type { booking as english, Wanted } from '../en/booking.ts';
import { formatsIn, localDay, NBSP, time } from '../formats.ts';
import { words } from './words.ts';

const f = formatsIn('de');

function window(fromAt: Instant, untilAt: Instant, zone: string): string {
  const first = localDay(fromAt, zone);
  const last = localDay(untilAt - 1, zone);
  const isWhole = time(fromAt, zone) === '00:00' && time(untilAt, zone) === '00:00';
  if (isWhole) return first === last ? f.dayShort(first) : `${f.dayShort(first)} bis ${f.dayShort(last)}`;
  if (first === last) return `${f.dayShort(first)}, ${time(fromAt, zone)} bis ${time(untilAt, zone)} Uhr`;
  return `${f.dateTime(fromAt, zone)} Uhr bis ${f.dateTime(untilAt, zone)} Uhr`;
}

function wanted({ expectedBags, expectedKg, eventKind }: Wanted): string {
  const much =
    expectedBags !== undefined
      ? words.sacks(expectedBags)
      : expectedKg !== undefined
        ? f.kg(expectedKg)
        : 'eine Sonderabholung';
  return eventKind === undefined ? much : `${much}, ${words.event[eventKind]}`;
}

export const booking: typeof english = {
  window,
  wanted,
  title: 'Sonderabholung',
  changeTitle: 'Sonderabholung ändern',
  events: {
    festival: 'Ein Fest oder Straßenfest',
    'market-day': 'Ein Markttag',
    'delivery-peak': 'Mehr Lieferungen als sonst',
    clearance: 'Eine Räumung oder ein Umzug',
    'clean-up': 'Eine Aufräumaktion im Freien',
    other: 'Etwas anderes',
  },
  askEvent: 'Wodurch fällt mehr Folie an als sonst?',
  askEnds: 'Wann ist es zu Ende, oder wann war es?',
  endsHint: 'Schon vorbei? Dann lassen Sie es so stehen.',
  askAmount: 'Wie viel ist es?',
  amountHint: 'Eine Schätzung genügt.',
  number: 'Anzahl',
  countedIn: 'Gezählt in',
  measures: {
    sacks: 'volle Säcke',
    cages: 'volle Gitterwagen',
    pallets: 'Paletten, brusthoch',
    boots: 'Kofferräume, voll',
  },
  kilograms: 'Kilogramm',
  weighed: 'falls Sie gewogen haben',
  measureIs: (litres, sacks) =>
    sacks === undefined
      ? `etwa ${f.litres(litres)}`
      : `etwa ${f.litres(litres)}, ${f.number(sacks, sacks < 3 ? 1 : 0)}${NBSP}Säcke`,
  askFrom: 'Abholbar ab',
  askUntil: 'bis',
  askWhere: 'Wo steht es, und was muss man beim Abholen wissen?',
  whereHint: 'Tor, Schlüssel, Rampe, Ansprechperson. Kann leer bleiben.',
  askHazards: 'Ist etwas davon darin?',
  hazardsHint:
    'Es wird von Hand gehoben. Bitte nehmen Sie Nadeln, Glas und alles Unbekannte vorher heraus; sonst müssen wir vielleicht einen Sack stehen lassen.',
  hazards: {
    hazardSharp: 'Scharfes möglich',
    hazardWet: 'Nass',
    hazardUnknown: 'Nicht von Hand sortiert, Inhalt unbekannt',
  },
  hazardNone: 'Nichts davon',
  seeDays: 'Mögliche Tage zeigen',
  nothingFixed: 'Noch steht nichts fest: Als Nächstes wählen Sie einen Tag.',
  onlyTell: 'Nur ankündigen',
  onlyTellHint: 'Ohne eigene Fahrt: Wir rechnen beim Planen damit.',
  wrong: {
    event: 'Wählen Sie, was es war',
    ends: 'Sagen Sie, wann es zu Ende ist oder war',
    endsUnread: 'Wählen Sie Tag und Uhrzeit',
    endsFar: 'Das ist in mehr als einem Jahr',
    endsLong: 'Das ist mehr als zwei Monate her',
    amount: 'Geben Sie eine Zahl an, etwa 40',
    nothing: 'Geben Sie an, wie viel es ist; eine Schätzung genügt',
    from: 'Wählen Sie den ersten Tag, an dem wir es abholen können',
    until: 'Wählen Sie den letzten Tag, an dem wir es abholen können',
    day: 'Wählen Sie einen Tag',
    order: 'Der letzte Tag liegt vor dem ersten',
    over: 'Dieser Tag ist vorbei. Wählen Sie einen, der noch kommt.',
    early: 'Bis dahin ist es noch nicht zu Ende. Wählen Sie einen späteren Tag.',
    long: 'Bitte unter 1.000 Zeichen',
    both: 'Sie haben „Nichts davon“ und noch etwas angekreuzt. Was stimmt?',
    untold: 'Kreuzen Sie an, was zutrifft, oder „Nichts davon“. Es wird von Hand gehoben.',
  },

  chooseDay: 'Wählen Sie einen Tag',
  noDayFits: 'Noch passt kein Tag',
  changeAsked: 'Ihre Angaben ändern',
  toBeFetched: (asked, fromAt, untilAt, zone) =>
    `${wanted(asked)}, abzuholen: ${window(fromAt, untilAt, zone)}`,
  holdsUntil: (clock) =>
    `Diese Tage sind bis ${clock} Uhr für Sie frei, sofern niemand vorher den letzten Platz nimmt. „Auf unserem Weg“ ist am besten für die Umwelt: die wenigsten Kilometer.`,
  staysAsItWas: 'Bis Sie wählen, bleibt Ihre Abholung, wie sie war. Mit „Zurück“ behalten Sie sie.',
  between: (hours, about) => `${hours} Uhr, nach jetzigem Stand gegen ${about} Uhr`,
  onOurWay: 'auf unserem Weg',
  comingAnyway: 'An diesem Tag kommen wir ohnehin zu Ihnen.',
  costs: (extraM, extraS, money) => `${f.km(extraM)} und ${f.duration(extraS)} mehr für uns, ${money}.`,
  take: 'Diesen Tag nehmen',
  noRoom:
    'An diesen Tagen haben unsere Wagen keinen Platz oder keine Zeit mehr. Am meisten hilft eine längere Spanne: Ändern Sie Ihre Angaben. Oder lassen Sie uns die Anfrage da. Wir suchen einen Weg und schreiben Ihnen, sobald ein Tag feststeht.',
  leave: 'Anfrage dalassen',
  urgent: 'Wenn es eilt, rufen Sie uns an:',

  requests: 'Ihre Bestellungen',
  announced: 'Angekündigt',
  announcedText: (asked, endsAt, zone) => `${wanted(asked)}, Ende ${f.dateTime(endsAt, zone)} Uhr`,
  announcedDone: 'Danke, wir rechnen damit. Braucht es doch eine eigene Fahrt, bestellen Sie eine.',
  callOff: 'Absagen',
  calledOff: 'Abgesagt: Wir rechnen nicht mehr damit.',
  lookChange: 'Ansehen, ändern oder absagen',
  look: 'Ansehen',
  planned: (day) => `geplant ${f.dayShort(day)}`,
  states: {
    waiting: 'Wir haben Ihre Anfrage',
    confirmed: 'Bestätigt',
    done: 'Abgeholt',
    cancelled: 'Abgesagt',
  },
  whatNext(state, plannedAt, { zone, phone }) {
    const call = phone === '' ? 'rufen Sie die Werkstatt an' : `rufen Sie uns an: ${phone}`;
    switch (state) {
      case 'waiting':
        return `Ihre Anfrage kommt in den nächsten Plan. Sobald ein Tag feststeht, sehen Sie ihn hier. Wenn es eilt, ${call}.`;
      case 'confirmed':
        return plannedAt === undefined
          ? 'Wir kommen in der Zeit, die Sie angegeben haben. Die Uhrzeit steht hier, sobald die Tour geplant ist.'
          : `Wir kommen voraussichtlich am ${f.dateTime(plannedAt, zone)} Uhr. Bitte stellen Sie alles so bereit, dass man herankommt.`;
      case 'done':
        return 'Danke. Das Gewicht steht bei dem, was aus Ihrer Folie wurde.';
      case 'cancelled':
        return 'Wir kommen dafür nicht. Sie können jederzeit neu bestellen.';
    }
  },
  what: 'Was',
  eventEnds: 'Zu Ende',
  fetchIt: 'Abholen',
  youSaid: 'Ihre Hinweise',
  inIt: 'Darin',
  nothingInIt: 'nichts Scharfes, Nasses oder Unbekanntes',
  askedAt: 'Angefragt',
  changeIt: 'Ändern',
  cancelIt: 'Diese Abholung absagen',
  calendarFile: 'In den Kalender übernehmen',
  calendarEntry: (site, workshop) => `${workshop} holt Folie ab: ${site}`,

  refusals: {
    'site-not-found': 'Dieser Standort gehört nicht zu Ihnen.',
    'closed-all-window':
      'Nach Ihren Öffnungszeiten ist an diesen Tagen niemand da. Wählen Sie andere, oder nennen Sie uns die Zeiten.',
    'window-over': 'Dieser Tag ist vorbei. Wählen Sie einen, der noch kommt.',
    'fact-differs':
      'Dieses Formular wurde schon mit anderen Angaben gesendet. Sehen Sie zuerst in Ihre Bestellungen.',
    'still-to-come':
      'Die Zeit dieser Meldung liegt in der Zukunft. Stellen Sie die Uhr Ihres Geräts und melden Sie es noch einmal.',
    'booking-not-found': 'Eine solche Bestellung von Ihnen gibt es nicht.',
    'booking-closed': 'Das lässt sich nicht mehr ändern: Es wurde inzwischen abgeholt oder abgesagt.',
    'quote-not-found': 'Diese Tage gibt es für Sie nicht. Fragen Sie neu an.',
    'no-such-offer': 'Dieser Tag war nicht dabei. Wählen Sie einen von diesen.',
    'quote-taken': 'Sie haben schon einen Tag gewählt. Für einen anderen fragen Sie neu an.',
    'slot-taken':
      'Jemand war einen Augenblick schneller und hat den letzten Platz an diesem Tag genommen. Diese Tage sind jetzt möglich.',
    'quote-over': 'Die zehn Minuten sind um. Wir haben neu nachgesehen: Diese Tage sind jetzt möglich.',
  },
};
