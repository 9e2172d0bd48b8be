/**
 * All that donors and drivers are told, by language. English is the measure: a message that is missing in another
 * language, or takes other values there, does not compile.
 */
import { driver as driverDe } from './de/driver.ts';
import { entry as entryDe, errors as errorsDe, frame as frameDe } from './de/frame.ts';
import { live as liveDe } from './de/live.ts';
import { rule as ruleDe } from './de/rule.ts';
import { skip as skipDe } from './de/skip.ts';
import { words as wordsDe } from './de/words.ts';
import { driver } from './en/driver.ts';
import { entry, errors, frame } from './en/frame.ts';
import { live } from './en/live.ts';
import { rule } from './en/rule.ts';
import { skip } from './en/skip.ts';
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
  skip,
  live,
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
    skip: skipDe,
    live: liveDe,
  },
};

export const sayIn = (language: Language): Say => SAID[language];
