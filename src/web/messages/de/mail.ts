/** Was eine Adresse erfahren will: die Seite am Fuß jeder E-Mail. */
import type { Role } from '../../../core/vocabulary.ts';
import type { mail as english } from '../en/mail.ts';

const WHEN: { readonly [role in Role]: string } = {
  coordinator:
    'wenn etwas angesehen werden muss: ein Halt fiel aus, ein Behälter ist voll gemeldet, der Plan ist in Gefahr, ein Wagen steht, eine E-Mail geht nicht hinaus',
  driver: 'wenn Ihre Touren sich ändern; das Tourenblatt zeigt sie immer, wie sie sind',
  donor:
    'wenn sich bei unseren Abholungen etwas ändert: ein Besuch verschiebt sich, ein Halt fiel aus, eine Sonderabholung steht fest',
};

export const mail: typeof english = {
  title: 'Ihre E-Mails',
  heading: 'Was wir Ihnen schreiben',
  lead: (address, roles) =>
    roles.length === 0
      ? `An ${address}. Niemand mit dieser Adresse steht zurzeit im Verzeichnis, darum schreiben wir nichts dorthin.`
      : `An ${address}, ${roles.map((role) => WHEN[role]).join('; und ')}.`,
  noAddress: {
    coordinator:
      'Die Werkstatt hat noch keine E-Mail-Adresse. Tragen Sie sie unter word.email in workshop.json ein und lesen Sie die Datei ein, dann wählen Sie hier.',
    driver:
      'Die Werkstatt hat keine E-Mail-Adresse von Ihnen. Nennen Sie ihr eine, dann wählen Sie hier, was Sie bekommen.',
  },
  howOften: 'Wie oft',
  choices: {
    each: 'Jedes Mal, wenn etwas geschieht',
    digest: 'Eine E-Mail am Tag genügt',
    none: 'Schreiben Sie mir nichts',
  },
  remind: 'Am Tag vor einem Besuch erinnern',
  keep: 'Speichern',
  kept: 'Gespeichert. Es gilt ab jetzt.',
  gone: 'Dieser Link gehört zu keiner Adresse. Nehmen Sie den aus Ihrer letzten E-Mail.',
  chooseOne: 'Wählen Sie eines der drei.',
};
