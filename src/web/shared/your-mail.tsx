/**
 * What an address wants to be told: open to whoever holds the link at the foot of its mails, and nothing else in it.
 * A POST of `List-Unsubscribe=One-Click` comes from mail programs (RFC 8058) and ends it all.
 */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import type { Result } from '../../core/quantity/result.ts';
import { type Role, WORD_CHOICES, type WordChoice } from '../../core/vocabulary.ts';
import type { Say } from '../messages/say.ts';
import { CheckBox } from './controls.tsx';
import { readForm } from './form.ts';
import { refusePage } from './html-error.tsx';
import { Page } from './page.tsx';
import type { SessionEnv } from './session.ts';
import { sayOf } from './speak.ts';

export type YourMail = {
  readonly address: string;
  readonly choice: WordChoice;
  readonly remindDayBefore: boolean;
  /** What the address is written to as. */
  readonly roles: readonly Role[];
};
type Asked = { readonly role: 'coordinator' | 'driver'; readonly subjectId: string };
export type YourMailDeps = {
  readonly workshopName: () => string | undefined;
  readonly findChoice: (token: string) => YourMail | undefined;
  readonly chooseWord: (
    request: Pick<YourMail, 'choice' | 'remindDayBefore'> & { readonly token: string },
  ) => Result<unknown, { readonly kind: string }>;
  readonly openOwnChoice: (whose: Asked) => Result<{ readonly token: string }, { readonly kind: string }>;
};

/** Where a person without a mail at hand finds the own choice. */
export const OWN_MAIL = { coordinator: '/word/mail', driver: '/driver/mail' } as const;
const Choice = z.union([
  z.strictObject({ 'List-Unsubscribe': z.literal('One-Click') }),
  z.strictObject({ choice: z.enum(WORD_CHOICES), remind: z.literal('yes').optional() }),
]);
const PATH = '/your-mail/:token{[A-Za-z0-9_-]{8,128}}';
const gone = (c: Context) => refusePage(c, 'not-found', { detail: sayOf(c).mail.gone });

export const yourMailPages = (deps: YourMailDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>()
    .on('POST', Object.values(OWN_MAIL), (c) => {
      const { role, subjectId } = c.var.session;
      if (role === 'donor') return refusePage(c, 'not-yours');
      const own = deps.openOwnChoice({ role, subjectId });
      if (own.ok) return c.redirect(`/your-mail/${own.value.token}`, 303);
      return refusePage(c, 'not-found', { detail: sayOf(c).mail.noAddress[role], role });
    })
    .get(PATH, (c) => {
      const known = deps.findChoice(c.req.param('token'));
      if (!known) return gone(c);
      const isKept = c.req.query('did') === 'kept';
      return c.html(
        <YourMailPage say={sayOf(c)} mail={known} workshop={deps.workshopName()} isKept={isKept} />,
      );
    })
    .post(PATH, async (c) => {
      const token = c.req.param('token');
      const known = deps.findChoice(token);
      if (!known) return gone(c);
      const form = await readForm(c, Choice);
      if (!form.ok) return refusePage(c, 'malformed', { detail: sayOf(c).mail.chooseOne });
      const isOneClick = 'List-Unsubscribe' in form.value;
      const chosen =
        'choice' in form.value
          ? { choice: form.value.choice, remindDayBefore: form.value.remind === 'yes' }
          : { choice: 'none' as const, remindDayBefore: false };
      const done = deps.chooseWord({ token, ...chosen });
      if (!done.ok) return gone(c);
      // RFC 8058, 3.1: the answer to a mail program is no redirect.
      return isOneClick ? c.text('Done.') : c.redirect(`/your-mail/${token}?did=kept`, 303);
    });

type Props = {
  readonly say: Say;
  readonly mail: YourMail;
  readonly workshop: string | undefined;
  readonly isKept: boolean;
};
const YourMailPage = ({ say, mail, workshop, isKept }: Props) => {
  const words = say.mail;
  return (
    <Page
      title={words.title}
      say={say}
      width="narrow"
      {...(workshop === undefined ? {} : { workshop })}
      notice={isKept ? { kind: 'done', text: words.kept } : undefined}
    >
      <h1>{words.heading}</h1>
      <p class="lead">{words.lead(mail.address, mail.roles)}</p>
      <form method="post" class="fields">
        <fieldset>
          <legend>{words.howOften}</legend>
          {WORD_CHOICES.map((choice) => (
            <label class="choice">
              <input type="radio" name="choice" value={choice} checked={choice === mail.choice} />
              <span>{words.choices[choice]}</span>
            </label>
          ))}
        </fieldset>
        {mail.roles.includes('donor') && (
          <CheckBox name="remind" label={words.remind} typed={mail.remindDayBefore ? 'yes' : ''} />
        )}
        <p class="actions">
          <button type="submit" class="primary">
            {words.keep}
          </button>
        </p>
      </form>
    </Page>
  );
};
