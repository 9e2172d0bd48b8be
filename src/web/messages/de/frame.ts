/** Was um jede Seite steht, am Eingang, und wo eine Seite nicht gezeigt werden kann. */
import type * as english from '../en/frame.ts';

export const frame: typeof english.frame = {
  skip: 'Zum Inhalt',
  main: 'Hauptmenü',
  leave: 'Abmelden',
  otherLanguage: 'Diese Seite in einer anderen Sprache',
  navigation: { driver: 'Tourenblatt', donor: 'Ihre Abholungen' },
  foot: {
    driver:
      'Heben Sie nur, was Ihnen gut möglich ist und die Regeln der Werkstatt erlauben. Sieht ein Ort unsicher aus, lassen Sie ihn und sagen Sie, warum.',
    donor: 'Diese Seite gehört nur Ihnen. Wer den Link hat, kann sie lesen.',
  },
  purpose: 'Feedround plant für eine kleine Werkstatt, wann sie gebrauchte Folie abholt.',
  lookAgain: 'Etwas fehlt noch oder stimmt nicht; es ist unten markiert.',
};

export const entry: typeof english.entry = {
  comeIn: 'Eintreten',
  greeting: (name) => `Willkommen, ${name}`,
  desk: 'Einsatzleitung',
  opens: {
    coordinator:
      'Dieser Link öffnet das Wochenblatt, das Verzeichnis der Orte, die Produktion und die Links aller anderen. Diese Seiten sind auf Englisch.',
    driver:
      'Dieser Link öffnet Ihr Tourenblatt: die Halte der heutigen Tour der Reihe nach, und wo Sie eintragen, was Sie vorfinden.',
    donor:
      'Dieser Link öffnet Ihre eigene Seite: wann wir das nächste Mal kommen, wie voll es nach unserer Schätzung ist, und wie Sie uns früher rufen.',
  },
  worksOnce: 'Dieser Link gilt einmal: Danach öffnet er nichts mehr.',
  staysSignedIn:
    'Dieses Gerät bleibt angemeldet, bis Sie sich abmelden. Bitte nicht auf einem gemeinsam genutzten Rechner.',
  signIn: 'Anmelden',
  noPasswords: 'Hier gibt es keine Kennwörter. Alle kommen über einen persönlichen Link herein.',
  coordinators: 'Einsatzleitung',
  onTheMachine: 'Auf dem Rechner, auf dem Feedround läuft:',
  printsLink: 'Es druckt einen Link aus, der einmal gilt.',
  driversAndDonors: 'Fahrerinnen und Fahrer, Betriebe',
  askCoordinator:
    'Fragen Sie die Einsatzleitung. Ein neuer Link ist in einer Minute gemacht, der alte lässt sich sperren.',
};

export const errors: typeof english.errors = {
  malformed: {
    title: 'Die Anfrage war nicht zu lesen',
    sentence: 'Gehen Sie zur Seite zurück und senden Sie sie noch einmal.',
  },
  'sign-in-needed': {
    title: 'Bitte zuerst anmelden',
    sentence:
      'Diese Seite öffnet sich mit einem persönlichen Link. Gilt Ihrer nicht mehr, bitten Sie die Werkstatt um einen neuen.',
  },
  'not-yours': {
    title: 'Das gehört jemand anderem',
    sentence: 'Sie sind angemeldet, aber diese Seite gehört jemand anderem.',
  },
  'foreign-origin': {
    title: 'Die Anfrage kam von einer fremden Seite',
    sentence:
      'Zu Ihrer Sicherheit nehmen wir Formulare nur von unseren eigenen Seiten an. Öffnen Sie die Seite neu und senden Sie von dort.',
  },
  'not-found': {
    title: 'Hier ist nichts',
    sentence: 'Vielleicht ist die Adresse vertippt, oder die Seite gibt es nicht mehr.',
  },
  'no-such-site': {
    title: 'Diesen Ort gibt es nicht',
    sentence: 'Vielleicht steht er nicht mehr im Verzeichnis.',
  },
  'no-such-round': {
    title: 'Diese Tour gibt es nicht',
    sentence: 'Vielleicht gilt inzwischen ein neuer Plan.',
  },
  'no-such-stop': {
    title: 'Diesen Halt gibt es nicht',
    sentence: 'Er steht auf keiner Ihrer Touren, oder es gilt ein neuer Plan. Das Tourenblatt zeigt alle.',
  },
  'link-spent': {
    title: 'Dieser Link ist verbraucht, gesperrt oder abgelaufen',
    sentence: 'Bitten Sie die Werkstatt um einen neuen Link.',
  },
  'too-large': { title: 'Das ist zu groß', sentence: 'Senden Sie weniger auf einmal.' },
  'too-many': {
    title: 'Zu viele Anfragen',
    sentence:
      'Warten Sie eine Weile, dann versuchen Sie es noch einmal. Wenn es eilt, rufen Sie die Werkstatt an.',
  },
  internal: {
    title: 'Bei uns ist etwas schiefgegangen',
    sentence:
      'Es lag nicht an Ihnen, und nichts wurde halb gespeichert. Versuchen Sie es noch einmal; geschieht es wieder, sagen Sie es uns.',
  },
  busy: {
    title: 'Gerade beschäftigt, bitte gleich noch einmal',
    sentence: 'Eine andere Änderung wird gerade gespeichert. Gehen Sie zurück und senden Sie noch einmal.',
  },
};
