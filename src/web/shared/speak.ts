/** Which language a request is answered in: chosen by a link, remembered in a cookie, else what the browser asks for. */
import type { Context, MiddlewareHandler } from 'hono';
import { getCookie, setCookie } from 'hono/cookie';
import { bestLanguage, isLanguage, type Language } from '../messages/language.ts';
import { type Say, sayIn } from '../messages/say.ts';

const COOKIE = 'feedround-language';
const YEAR_S = 365 * 86_400;

/** The pages of donors, drivers and strangers; the coordinator's are in English. */
const SPOKEN = /^\/(?:live\/)?(driver|driver\.webmanifest|donor|enter|sign-in|leave|your-mail|request)(\/|$)/;

function languageOf(c: Context): Language {
  if (!SPOKEN.test(c.req.path)) return 'en';
  const asked = c.req.query('lang');
  if (isLanguage(asked)) return asked;
  const kept = getCookie(c, COOKIE);
  return isLanguage(kept) ? kept : bestLanguage(c.req.header('accept-language'));
}

export const sayOf = (c: Context): Say => sayIn(languageOf(c));

/** A page opened with `?lang=de` is remembered on this device; no more than a preference, so a GET may set it. */
export const rememberLanguage =
  (origin: string): MiddlewareHandler =>
  async (c, next) => {
    const asked = c.req.query('lang');
    if (isLanguage(asked))
      setCookie(c, COOKIE, asked, {
        path: '/',
        sameSite: 'Lax',
        httpOnly: true,
        secure: origin.startsWith('https:'),
        maxAge: YEAR_S,
      });
    return next();
  };
