/** Was wir nehmen können und was nicht: ein Blatt für den Hof. */
import type { sorting as english } from '../en/sorting.ts';

export const sorting: typeof english = {
  link: 'Was wir nehmen können und was nicht: ein Blatt für den Hof',
  title: 'Was in den Foliensack gehört',
  lead: 'Weiche Folie, die knistert oder sich dehnt: leer, sauber und trocken. Im Zweifel draußen lassen.',
  yes: 'Ja, bitte',
  no: 'Nein, danke',
  take: {
    wrap: 'Palettenfolie und Stretchfolie',
    bags: 'Tragetaschen und Säcke',
    covers: 'Hüllen von Kleidung und Matratzen',
    shrink: 'Schrumpffolie von Großpackungen',
    bubble: 'Luftpolsterfolie und Luftkissen',
  },
  leave: {
    strapping: 'Umreifungsband und Klebeband: blockieren die Presse',
    pvc: 'PVC, Frischhaltefolie, Planen: giftiger Rauch beim Erhitzen',
    food: 'Essensreste, Fett, alles Schmutzige oder Nasse',
    foil: 'Chipstüten und alles mit Metall innen',
    hard: 'Flaschen, Becher, harter Kunststoff, Schaum',
    sharps: 'Nadeln, Glas, Klingen, Unbekanntes: niemals',
  },
  how: 'So geht es',
  steps: [
    'Leeren und ausschütteln. Papieretiketten dürfen bleiben.',
    'Klare und farbige Folie trennen, wenn Platz dafür ist.',
    'Den vollen Sack zubinden. Nicht mit Händen oder Füßen hineindrücken.',
    'Trocken lagern, nicht auf dem Boden, Türen und Fluchtwege freihalten.',
  ],
  safety:
    'Etwas Scharfes, Chemisches oder Unbekanntes gefunden? Nicht hineingreifen. Den Sack zur Seite stellen und uns anrufen. Die Regeln Ihres Betriebs gehen vor.',
  print: 'Diese Seite passt auf ein Blatt: Drucken Sie sie mit Ihrem Browser.',
};
