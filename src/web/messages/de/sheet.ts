/** Deutsch zu en/sheet.ts. */
import { formatsIn, NBSP, time } from '../formats.ts';
import type { Say } from '../say.ts';

const f = formatsIn('de');
const count = (n: number, one: string, many: string): string =>
  `${f.number(n)}${NBSP}${n === 1 ? one : many}`;

export const sheet: Say['sheet'] = {
  opening: 'Das Tourenblatt wird geöffnet.',
  plain: 'Seite ohne Skripte',
  noSheet: 'Dieses Telefon hat noch kein Tourenblatt. Öffne es einmal dort, wo Empfang ist.',
  noRound: 'Für heute ist keine Tour für dich geplant.',

  handedIn: (n) => `${f.number(n)} abgegeben`,
  waiting: (n) => `${f.number(n)} warten auf Empfang`,
  sending: (n) => `${f.number(n)} unterwegs`,
  nothingWaits: 'Nichts wartet.',
  refusedCount: (n) => `${f.number(n)} nicht angenommen: siehe unten`,
  othersWait: (n) =>
    `${count(n, 'Eintrag', 'Einträge')} von jemand anderem auf diesem Telefon: wird abgegeben, wenn diese Person hier hereinkommt.`,
  sheetOf: (at, zone) => `Blatt von ${time(at, zone)}`,
  tryNow: 'Jetzt versuchen',
  state: {
    waiting: 'wartet auf Empfang',
    'handed-in': 'abgegeben',
    refused: 'nicht angenommen',
    'set-aside': 'so gelassen',
  },
  signedOut:
    'Die Werkstatt kennt dieses Telefon nicht mehr. Was du eingetragen hast, bleibt hier und wartet. Bitte um einen neuen Link und öffne ihn auf diesem Telefon.',

  storageFull:
    'Auf diesem Telefon ist kein Platz mehr: der Eintrag konnte nicht behalten werden. Schreib ihn auf Papier, mach Platz und trag ihn dann noch einmal ein.',
  storageShort: (mb) =>
    `Auf diesem Telefon sind nur noch etwa ${f.number(mb)}${NBSP}MB frei. Mach Platz, bevor die Tour weitergeht.`,
  storageLost: (n) =>
    `Das Telefon hat seinen Speicher verworfen: ${count(n, 'Eintrag, der wartete, ist', 'Einträge, die warteten, sind')} weg. Trag nach, was unten fehlt, vom Papier oder aus dem Gedächtnis.`,
  notPersistent:
    'Dieses Telefon kann verwerfen, was wartet, wenn sein Platz knapp wird. Leg das Blatt auf den Startbildschirm.',

  changed: 'Der Plan hat sich geändert',
  changedKept: 'Noch gilt für dich das alte Blatt. Was du eingetragen hast, bleibt, welches du auch nimmst.',
  takeNew: 'Das neue Blatt nehmen',
  change: {
    'stop-added': (name) => `Neu: ${name}`,
    'stop-gone': (name) => `Nicht mehr: ${name}`,
    'stop-moved': (name, from, to) => `${name}: ${to} statt ${from}`,
    'other-order': 'Die Halte stehen in anderer Reihenfolge',
    'other-van': (vanName) => `Anderer Wagen: ${vanName}`,
    'round-added': 'Eine neue Tour',
    'round-gone': 'Die Tour entfällt',
  },

  next: 'Nächster Halt',
  stopOf: (n, of) => `Halt ${n} von ${of}`,
  about: (amount) => `Etwa ${amount}`,
  weighIn: 'Wiegen',
  notCollected: 'Nicht abgeholt',
  thenComes: 'Danach',
  doneStops: (n) => `${count(n, 'Halt', 'Halte')} erledigt`,
  allDone: 'Alle Halte sind erledigt.',
  doNext: 'Als Nächstes dorthin',
  look: 'Ansehen oder berichtigen',
  likely: (at) => `wohl ${at}`,
  planned: (at) => `geplant ${at}`,
  more: 'Mehr',
  unload: 'Abladen und die Ladung wiegen',
  extra: 'Jemand winkt: Halt hinzufügen',
  offRoad: 'Der Wagen kann nicht weiter',
  callWorkshop: 'Die Werkstatt anrufen',
  back: 'Zurück zum Blatt',
  mark: {
    started: 'Ich fahre jetzt los',
    paused: 'Pause machen',
    resumed: 'Weiter',
    finished: 'Tour beenden',
  },
  marked: {
    started: 'Losgefahren um',
    paused: 'Pause seit',
    resumed: 'Weiter um',
    finished: 'Beendet um',
  },
  stillOpen: (n) => `${count(n, 'Halt ist', 'Halte sind')} noch offen. Trotzdem beenden?`,
  yesFinish: 'Ja, beenden',
  breakOf: (length) => `Pause, ${length}`,
  unloadAt: (workshop) => `Abladen bei ${workshop}`,
  breakBy: (at, length) => `Pause von ${length}, Beginn spätestens ${at}`,
  breakDue: (length) => `Deine Pause von ${length} ist fällig: halt am nächsten sicheren Platz.`,
  shiftEnds: (at) => `Schicht endet ${at}`,
  shiftOver: 'Die Schicht ist um. Ruf die Werkstatt an, bevor du weiterfährst.',
  rulesFirst: 'Nach der Regel der Werkstatt; das Recht, wo du fährst, und dein Führerschein gehen vor.',
  otherDays: 'Andere Tage',
  today: 'Heute',
  stops: (n) => count(n, 'Halt', 'Halte'),
  atNoStop: 'Eingetragen an keinem Halt dieses Blatts',

  net: 'Netto',
  gross: 'Brutto',
  tare: 'Tara',
  bags: 'Säcke',
  thrownOut: 'Aussortiert',
  way: { net: 'Netto kg', gross: 'Brutto − Tara', bags: 'Nur Säcke' },
  anotherLift: '+ Hub',
  lifts: (parts, sum) => `${parts.join(' + ')} = ${sum}`,
  less: (gross, tare, net) => `${gross} − ${tare} = ${net}`,
  erase: 'Löschen',
  foundFull: 'War voll',
  why: 'Warum aussortiert',
  reject: {
    food: 'Essensreste',
    sharps: 'Spitzes',
    pvc: 'PVC-Folie',
    'wrong-polymer': 'Falscher Kunststoff',
    wet: 'Nass',
    unknown: 'Unbekannt',
  },
  grades: 'Sorten nach Augenmaß',
  gradesShared: 'Eine Sorte ist alles; mehrere teilen sich zu gleichen Teilen.',
  note: 'Notiz',
  handIn: 'Abgeben',
  handInCorrection: 'Berichtigung abgeben',
  correct: 'Berichtigen',
  correctionKept: 'Was gilt, ist eingetragen. Der alte Eintrag bleibt neben der Berichtigung stehen.',
  yesRight: 'Ja, das stimmt',
  mend: 'Ändern',
  problem: {
    nothing: 'Tipp Kilogramm oder Säcke, oder drück „War voll“, wenn niemand wiegen oder zählen konnte.',
    'tare-over-gross': 'Die Tara ist mehr als das Bruttogewicht.',
    'thrown-over': 'Es wurde mehr aussortiert, als da war.',
    'thrown-why': 'Sag, warum aussortiert wurde.',
    'too-much': 'Mehr als 10.000 kg trägt kein Wagen.',
  },
  wouldOverload: (kg, payloadKg) =>
    `Damit trägt der Wagen ${f.kg(kg)}, und er darf ${f.kg(payloadKg)} tragen. Nicht laden: lass Folie hier oder lade erst ab. Das Schild am Wagen entscheidet.`,
  wouldOverfill: (litres, loadSpaceL) =>
    `Damit ist der Wagen nach unserer Rechnung übervoll: ${f.litres(litres)} in ${f.litres(loadSpaceL)}.`,
  heavyLift: (kg, women, men) =>
    `${f.kg(kg)} in einem Hub: der Richtfilter ist ${f.number(women)}${NBSP}kg für Frauen und ${f.number(men)}${NBSP}kg für Männer, dicht am Körper in Hüfthöhe. Ein Filter, keine Grenze: teilen, Karre nehmen oder zu zweit. Örtliche Regeln gehen vor.`,
  cautions: 'Spitzes, Flüssigkeiten, Unbekanntes: nicht anfassen, anhalten und anrufen',

  missed: {
    closed: 'Geschlossen, niemand da',
    'nothing-there': 'Nichts zum Mitnehmen',
    'no-access': 'Kein Zugang',
    'unsafe-contents': 'Inhalt sah unsicher aus',
    'van-full': 'Wagen voll',
    other: 'Etwas anderes',
  },
  missedNext:
    'Die Folie bleibt in der Schätzung, und der nächste Plan fährt wieder hin. Die Werkstatt sagt es dem Betrieb.',
  missedNothing: 'Die Schätzung beginnt wieder bei leer. Der nächste Plan weiß es.',
  missedUnsafe:
    'Lass es, wo es ist, und ruf die Werkstatt an. Niemand wird hingeschickt, bevor die Werkstatt mit dem Betrieb gesprochen hat.',

  refused: {
    'already-weighed': 'Ein anderes Telefon hat hier zuerst ein Gewicht abgegeben.',
    'already-missed': 'Es wurde schon als nicht abgeholt abgegeben.',
    'not-the-latest': 'Jemand anderes hat es inzwischen berichtigt.',
    'stop-not-found': 'Der Halt ist auf keiner deiner Touren mehr.',
    'round-not-found': 'Die Tour ist nicht mehr deine.',
    'still-to-come': 'Die Zeit liegt in der Zukunft: schau auf die Uhr des Telefons.',
    'fact-differs': 'Es wurde schon mit anderen Werten abgegeben.',
    'no-stops-in-load': 'Kein Halt der Tour wartete auf einen Anteil an einer Ladung.',
    'less-than-its-stops': 'Die gewogenen Halte sind zusammen mehr als die ganze Ladung.',
    'already-off-road': 'Der Wagen war schon außer Betrieb.',
    'out-of-turn': 'Die Tour stand da schon anders.',
  },
  refusedOther: 'Die Werkstatt konnte es nicht annehmen. Ruf an und sag, was du eingetragen hast.',
  mine: 'Meins stimmt: berichtigen',
  again: 'Noch einmal eintragen',
  leaveIt: 'So lassen',
  notTaken: 'Nicht angenommen',

  unloadTitle: 'Abladen und die Ladung wiegen',
  unloadLead:
    'Ein Gewicht für die ganze Ladung. Was an den Halten gewogen wurde, bleibt; der Rest wird auf die Halte verteilt, die nur gezählt oder voll gefunden wurden.',
  unloadNeedsCount:
    'Kein Halt dieser Ladung wartet auf einen Anteil: jeder wurde gewogen. Hier ist nichts einzutragen.',
  loadHandIn: 'Die Ladung abgeben',
  load: (kg) => `Ladung ${f.kg(kg)}`,
  extraTitle: 'Jemand winkt',
  extraLead: 'Eine Abholung an einem Ort, den diese Tour nicht anfährt. Wo?',
  extraSearch: 'Name oder Straße',
  extraUnknown: 'Jemand, der in keiner Liste steht: ruf die Werkstatt an, bevor du etwas lädst.',
  offRoadTitle: 'Der Wagen kann nicht weiter',
  offRoadLead:
    'Halt, wo es sicher ist, steig auf der Seite aus, die dem Verkehr abgewandt ist, und bleib in Abstand. Sag es dann hier; die Werkstatt plant den Rest neu.',
  offRoadWhat: 'Was nicht geht',
  offRoadSay: 'Der Werkstatt sagen',
  offRoadSaid: (at) => `Wagen außer Betrieb, gesagt um ${at}`,
};
