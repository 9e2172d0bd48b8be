/** The languages people are spoken to in, and which of them a person wants. */

export const LANGUAGES = ['en', 'de'] as const;
export type Language = (typeof LANGUAGES)[number];

/** Each in its own words, for whoever reads no other. */
export const LANGUAGE_NAMES: { readonly [language in Language]: string } = {
  en: 'English',
  de: 'Deutsch',
};

export const isLanguage = (text: string | undefined): text is Language =>
  LANGUAGES.some((language) => language === text);

/**
 * The best of ours for an Accept-Language header (RFC 9110, 12.5.4; lookup as in RFC 4647, 3.4): the highest weight wins,
 * the first of equals; `de-AT` is served with `de`, and `*` with the first language.
 */
export function bestLanguage(header: string | undefined): Language {
  let best: { readonly language: Language; readonly weight: number } | undefined;
  for (const range of (header ?? '').split(',')) {
    const [tag = '', ...parameters] = range.trim().toLowerCase().split(';');
    const weight = weightOf(parameters);
    const primary = tag.trim() === '*' ? LANGUAGES[0] : tag.trim().split('-')[0];
    if (isLanguage(primary) && weight > (best?.weight ?? 0)) best = { language: primary, weight };
  }
  return best?.language ?? LANGUAGES[0];
}

/** RFC 9110, 12.4.2: `q` between 0 and 1, 1 where it is missing; what is no number counts for nothing. */
function weightOf(parameters: readonly string[]): number {
  const q = parameters
    .map((text) => /^\s*q\s*=\s*(\S+)\s*$/.exec(text)?.[1])
    .find((text) => text !== undefined);
  if (q === undefined) return 1;
  return /^(0(\.\d{0,3})?|1(\.0{0,3})?)$/.test(q) ? Number(q) : 0;
}
