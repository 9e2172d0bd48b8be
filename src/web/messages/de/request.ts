/** Für einen Ort, der zum ersten Mal Folie abgibt: eine Wiese, eine Straße, ein Laden. */
import type { request as english } from '../en/request.ts';

export const request: typeof english = {
  title: 'Folie abzuholen, und Sie sind neu hier?',
  lead: 'Nach einem Fest, einer Aufräumaktion oder einer Räumung: Sagen Sie uns, was da ist. Jemand aus der Werkstatt meldet sich; vorher steht nichts fest.',
  name: 'Ihr Name oder der Ihrer Gruppe',
  contact: 'Wie erreichen wir Sie?',
  contactHint: 'Eine Telefonnummer oder eine E-Mail-Adresse.',
  place: 'Wo ist es?',
  placeHint: 'Straße und Hausnummer, oder die Wiese und wie man hinkommt.',
  event: 'Woher kommt es?',
  ends: 'Wann ist es zu Ende, oder wann war es?',
  sacks: 'Wie viele volle Säcke ungefähr?',
  sacksHint: 'Ein voller Sack ist etwa so groß wie ein Autositz. Eine Schätzung genügt.',
  until: 'Es kann dort stehen bis',
  remarks: 'Was sollten wir noch wissen?',
  remarksHint: 'Scharfes oder Nasses, wer wann da ist, wie man hineinkommt. Kann leer bleiben.',
  leaveEmpty: 'Dieses Feld leer lassen',
  send: 'An die Werkstatt senden',
  sorting:
    'Wir nehmen weiche Folie: Wickelfolie, Tüten, Hüllen, sauber und trocken. Kein Band, kein PVC, keine Essensreste.',
  done: 'Danke, es ist bei uns angekommen',
  doneText: (contact) => `Wir melden uns unter ${contact}. Wenn es eilt, rufen Sie uns an.`,
  wrong: {
    missing: 'Bitte ausfüllen',
    long: 'Bitte kürzer',
    event: 'Wählen Sie, was es war',
    when: 'Wählen Sie Tag und Uhrzeit innerhalb eines Jahres',
    sacks: 'Geben Sie eine Zahl an, etwa 40',
    until: 'Wählen Sie einen Tag, der noch kommt und nach dem Ende liegt',
    quick: 'Das ging sehr schnell. Bitte sehen Sie noch einmal hin und senden Sie es dann noch einmal.',
    old: 'Diese Seite war lange offen. Bitte sehen Sie noch einmal hin und senden Sie es dann noch einmal.',
    many: 'In der letzten Stunde kamen von hier zu viele Anfragen. Bitte rufen Sie uns an.',
  },
};
