/**
 * All that donors and drivers are told, by language. English is the measure: a message that is missing in another
 * language, or takes other values there, does not compile.
 */
import { became as becameDe } from './de/became.ts';
import { booking as bookingDe } from './de/booking.ts';
import { donor as donorDe } from './de/donor.ts';
import { driver as driverDe } from './de/driver.ts';
import { entry as entryDe, errors as errorsDe, frame as frameDe } from './de/frame.ts';
import { live as liveDe } from './de/live.ts';
import { mail as mailDe } from './de/mail.ts';
import { request as requestDe } from './de/request.ts';
import { rule as ruleDe } from './de/rule.ts';
import { sheet as sheetDe } from './de/sheet.ts';
import { skip as skipDe } from './de/skip.ts';
import { sorting as sortingDe } from './de/sorting.ts';
import { words as wordsDe } from './de/words.ts';
import { became } from './en/became.ts';
import { booking } from './en/booking.ts';
import { donor } from './en/donor.ts';
import { driver } from './en/driver.ts';
import { entry, errors, frame } from './en/frame.ts';
import { live } from './en/live.ts';
import { mail } from './en/mail.ts';
import { request } from './en/request.ts';
import { rule } from './en/rule.ts';
import { sheet } from './en/sheet.ts';
import { skip } from './en/skip.ts';
import { sorting } from './en/sorting.ts';
import { words } from './en/words.ts';
import { formatsIn } from './formats.ts';
import type { Language } from './language.ts';

const english = {
  language: 'en' as Language,
  f: formatsIn('en'),
  words,
  rule,
  frame,
  entry,
  errors,
  driver,
  sheet,
  skip,
  live,
  donor,
  booking,
  became,
  sorting,
  request,
  mail,
};
export type Say = typeof english;

const SAID: { readonly [language in Language]: Say } = {
  en: english,
  de: {
    language: 'de',
    f: formatsIn('de'),
    words: wordsDe,
    rule: ruleDe,
    frame: frameDe,
    entry: entryDe,
    errors: errorsDe,
    driver: driverDe,
    sheet: sheetDe,
    skip: skipDe,
    live: liveDe,
    donor: donorDe,
    booking: bookingDe,
    became: becameDe,
    sorting: sortingDe,
    request: requestDe,
    mail: mailDe,
  },
};

export const sayIn = (language: Language): Say => SAID[language];
