/** Die Seite des Betriebs, der Folie abgibt. Für jemanden, der das Programm nie gesehen hat. */
import type { donor as english } from '../en/donor.ts';
import { formatsIn, localDay, NBSP, time } from '../formats.ts';
import { words } from './words.ts';

const f = formatsIn('de');
/** Ein Tag endet oft schon mit dem Punkt seiner Abkürzung. */
const stopped = (text: string): string => (text.endsWith('.') ? text : `${text}.`);

export const donor: typeof english = {
  title: 'Ihre Abholungen',
  kicker: (workshop) => `${workshop} holt Ihre Folie ab`,
  places: 'Ihre Standorte',
  noPlaces:
    'Zurzeit steht keiner Ihrer Standorte auf unserer Liste. Rufen Sie die Werkstatt an, dann nehmen wir ihn auf.',
  back: 'Zurück zu Ihren Abholungen',
  at: (site) => `: ${site}`,

  next: 'Wir kommen das nächste Mal',
  about: (clock) => `gegen ${clock} Uhr`,
  fromUntil: (from, until) => `${from} bis ${until} Uhr`,
  promisedTime: 'Diese Zeit haben wir Ihnen zugesagt. Die Uhrzeit folgt, sobald die Tour geplant ist.',
  bookedTime:
    'Sie haben uns gerufen, und wir haben zugesagt. Die Uhrzeit folgt, sobald die Tour geplant ist.',
  usualTime: 'Das ist Ihr üblicher Tag. Er kann sich noch verschieben, wenn die Tour geplant wird.',
  noDay: 'Noch steht kein Tag fest. Wir kommen, wenn genug bereitsteht oder bevor es überläuft.',
  questions: (phone) => `Fragen? Rufen Sie uns an: ${phone}.`,
  whyThen(reason) {
    switch (reason?.code) {
      case 'promised':
        return 'Diese Zeit haben wir Ihnen zugesagt.';
      case 'booked':
        return 'Sie haben uns gerufen, und wir haben zugesagt.';
      case 'overflow':
        return `Wir rechnen damit, dass Ihr Behälter bis ${f.dayLong(reason.riskUntilDay)}, voll sein könnte.`;
      case 'feeds-production':
        return reason.grade
          ? `Der Werkstatt geht ${words.gradeName(reason.grade)} aus, und Sie haben welche.`
          : 'Die Werkstatt braucht Folie, und Sie haben welche.';
      case 'on-the-way':
        return 'An diesem Tag fahren wir ohnehin in der Nähe vorbei, das spart Kilometer.';
      case 'habit':
        return 'Das ist Ihr üblicher Tag.';
      case 'fill':
      case 'pinned':
      case undefined:
        return 'Bis dahin steht genug bereit, dass sich die Fahrt lohnt.';
    }
  },

  full: {
    title: 'So voll ist es nach unserer Schätzung',
    brim: 'Rand',
    picture: (middle, low, high) =>
      `Etwa ${f.number(100 * middle)} % voll, zwischen ${f.number(100 * low)} und ${f.number(100 * high)} %`,
    name(share) {
      if (share >= 0.95) return 'Voll oder fast voll';
      if (share >= 0.8) return 'Beinahe voll';
      if (share >= 0.6) return 'Mehr als halb voll';
      if (share >= 0.4) return 'Etwa halb voll';
      if (share >= 0.15) return 'Weniger als halb voll';
      return 'Fast leer';
    },
    about: 'Etwa ',
    range: ({ lowKg, highKg, bagKg }, medianKg) =>
      ` (${f.number(Math.round(lowKg / bagKg))}–${f.number(Math.round(highKg / bagKg))}${NBSP}Säcke), ${f.kg(medianKg)} (${f.kgRange(lowKg, highKg)}). In vier von fünf Fällen liegt es in diesem Bereich.`,
    fullBy: (day) => stopped(`Wahrscheinlich voll bis ${f.dayShort(day)}`),
    restsOn(weighIns, last, zone) {
      if (weighIns === 0)
        return 'Bisher stützt sich das nur auf Ihre Angabe; mit der ersten Wiegung wird es genauer.';
      const times = weighIns === 1 ? 'eine Wiegung' : `${f.number(weighIns)} Wiegungen`;
      const lastly = last
        ? `, zuletzt${last.netKg === undefined ? '' : ` ${f.kg(last.netKg)}`} am ${f.dayShort(localDay(last.at, zone))}`
        : '';
      return stopped(`Das stützt sich auf ${times} bei Ihnen${lastly}`);
    },
    ask: 'Ist mehr darin, als wir denken?',
    press: { half: 'Halb voll', most: 'Drei Viertel', full: 'Es ist voll' },
    hint: 'Ein Druck genügt, und der nächste Plan rechnet damit. Ist es voll, sehen wir nach, ob wir früher kommen können. Ist weniger da als sonst, brauchen Sie nichts zu tun: Das zeigt die nächste Wiegung.',
    said: (at, fraction, zone) =>
      `Sie haben uns gesagt, dass es ${fraction >= 1 ? 'voll' : `mindestens ${f.percent(fraction)} voll`} ist (${f.dayShort(localDay(at, zone))}, ${time(at, zone)} Uhr). Der nächste Plan rechnet damit.`,
    thanks: (site) =>
      `Danke: Wir wissen, dass es bei ${site} voll ist. Wir sehen nach, ob wir früher kommen können.`,
    thanksPart: (site, fraction) =>
      `Danke: Wir rechnen bei ${site} jetzt mit mindestens ${f.percent(fraction)}.`,
  },

  extra: {
    title: 'Mehr als sonst?',
    text: 'Nach einem Fest, einer Lieferung oder einer Räumung kommen wir eigens dafür. Es dauert eine Minute.',
    ask: 'Sonderabholung bestellen',
  },

  agreed: {
    title: 'Was wir vereinbart haben',
    none: 'Keine festen Tage: Wir kommen, wenn sich die Fahrt lohnt und bevor es überläuft.',
    closed: 'Geschlossen',
    shut: ({ fromDay, untilDay, reason }) =>
      `${fromDay === untilDay ? f.dayShort(fromDay) : `${f.dayShort(fromDay)} bis ${f.dayShort(untilDay)}`}${reason === '' ? '' : ` (${reason})`}`,
    dates: 'Die nächsten Termine',
  },

  place: {
    open: 'Pause, Zugang und Kontakt',
    link: 'Ferien, Zugang, Kontakt',
    pause: 'Pause in den Ferien',
    pauseText: 'An diesen Tagen ist niemand da, und es fällt kaum Folie an. Wir planen darum herum.',
    from: 'Erster Schließtag',
    until: 'Letzter Schließtag',
    reason: 'Grund (kann leer bleiben)',
    pauseNow: 'Diese Tage pausieren',
    pauses: 'Ihre Schließtage',
    noPauses: 'Keine in nächster Zeit.',
    takeBack: 'Zurücknehmen',
    access: 'Zugang',
    accessText:
      'Was die Fahrerin oder der Fahrer jedes Mal wissen sollte: Tor, Schlüssel, Rampe, wo es steht.',
    contact: 'Kontakt',
    contactName: 'Ansprechperson',
    phone: 'Telefon',
    email: 'E-Mail',
    emailHint: 'Hierhin schreiben wir, wenn ein Besuch sich verschiebt oder eine Sonderabholung feststeht.',
    keep: 'Speichern',
    kept: 'Gespeichert. Von jetzt an steht es auf dem Tourenblatt.',
    paused: 'Notiert: Wir planen um diese Tage herum.',
    resumed: 'Zurückgenommen: Wir planen diese Tage wie sonst.',
    wrong: {
      day: 'Wählen Sie einen Tag',
      order: 'Der letzte Tag liegt vor dem ersten',
      past: 'Diese Tage sind vorbei',
      long: 'Das ist mehr als ein Jahr: Rufen Sie uns bitte an',
      many: 'Es gibt schon viele Pausen; nehmen Sie zuerst eine zurück',
      text: 'Bitte kürzer',
      email: 'Geben Sie eine Adresse an wie name@ort.example, oder lassen Sie das Feld leer',
    },
  },

  people: {
    title: 'Wer diese Seite sehen kann',
    text: 'Alle hier haben einen eigenen Link. Ein verlorener Link lässt sich sperren, ohne die anderen zu sperren.',
    you: 'Sie',
    since: (day) => `seit ${f.dayYearShort(day)}`,
    until: (day) => `bis ${f.dayYearShort(day)}`,
    end: 'Diesen Link sperren',
    ended: 'Der Link ist gesperrt. Niemand kommt mehr über ihn herein.',
    more: 'Braucht noch jemand einen Link, fragen Sie die Werkstatt.',
  },

  calendar: {
    title: 'In Ihrem eigenen Kalender',
    text: 'Eine private Adresse, die Ihr Kalenderprogramm liest: unsere Besuche, verschoben oder abgesagt, wie sich der Plan ändert. Eine neue Adresse ersetzt die alte.',
    make: 'Kalenderadresse anlegen',
    page: 'Ihr Kalender',
    how: 'Wählen Sie in Ihrem Kalenderprogramm „Kalender abonnieren“ und fügen Sie diese Adresse ein. Wer sie hat, kann lesen, wann wir zu Ihnen kommen.',
    withdraw: 'Wieder sperren',
    withdrawn: 'Ihre Kalenderadresse ist gesperrt. Niemand kann sie mehr lesen.',
    shownOnce: 'Sie wird nur dieses eine Mal gezeigt. Kopieren Sie sie jetzt; nachsehen kann sie niemand.',
    goodUntil: (day) => `Sie gilt bis ${f.dayYear(day)}.`,
  },
};
