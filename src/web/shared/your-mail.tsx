/**
 * What an address wants to be told: open to whoever holds the link at the foot of its mails, and nothing else in it.
 * A POST of `List-Unsubscribe=One-Click` comes from mail programs (RFC 8058) and ends it all.
 */
import { Hono } from 'hono';
import { z } from 'zod';
import type { Result } from '../../core/quantity/result.ts';
import { type Role, WORD_CHOICES, type WordChoice } from '../../core/vocabulary.ts';
import { CheckBox } from './controls.tsx';
import { readForm } from './form.ts';
import { refusePage } from './html-error.tsx';
import { Page } from './page.tsx';
import type { SessionEnv } from './session.ts';

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

const WHEN: { readonly [role in Role]: string } = {
  coordinator:
    'when something needs a look: a stop is missed, a container reported full, the plan in danger, a van off the road, a mail that cannot be sent',
  driver: 'when your rounds change; the run sheet always shows them as they are',
  donor:
    'when something changes about our collections: a visit moves, a stop was missed, an extra collection is confirmed',
};
/** Where a person without a mail at hand finds the own choice. */
export const OWN_MAIL = { coordinator: '/word/mail', driver: '/driver/mail' } as const;
const NO_ADDRESS: { readonly [role in Asked['role']]: string } = {
  coordinator:
    'The workshop has no e-mail address yet. Write it under word.email in workshop.json and import it, then choose here.',
  driver: 'The workshop has no e-mail address of yours. Tell it one, then choose here what you are sent.',
};

const CHOICES: { readonly [choice in WordChoice]: string } = {
  each: 'Tell me as it happens',
  digest: 'One mail a day is enough',
  none: 'Write me nothing',
};
const Choice = z.union([
  z.strictObject({ 'List-Unsubscribe': z.literal('One-Click') }),
  z.strictObject({ choice: z.enum(WORD_CHOICES), remind: z.literal('yes').optional() }),
]);
const PATH = '/your-mail/:token{[A-Za-z0-9_-]{8,128}}';
const GONE = { detail: 'This link belongs to no address. Take the one from your latest mail.' };

export const yourMailPages = (deps: YourMailDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>()
    .on('POST', Object.values(OWN_MAIL), (c) => {
      const { role, subjectId } = c.var.session;
      if (role === 'donor') return refusePage(c, 'not-yours');
      const own = deps.openOwnChoice({ role, subjectId });
      if (own.ok) return c.redirect(`/your-mail/${own.value.token}`, 303);
      return refusePage(c, 'not-found', { detail: NO_ADDRESS[role], role });
    })
    .get(PATH, (c) => {
      const known = deps.findChoice(c.req.param('token'));
      if (!known) return refusePage(c, 'not-found', GONE);
      const isKept = c.req.query('did') === 'kept';
      return c.html(<YourMailPage mail={known} workshop={deps.workshopName()} isKept={isKept} />);
    })
    .post(PATH, async (c) => {
      const token = c.req.param('token');
      const known = deps.findChoice(token);
      if (!known) return refusePage(c, 'not-found', GONE);
      const form = await readForm(c, Choice);
      if (!form.ok) return refusePage(c, 'malformed', { detail: 'Choose one of the three.' });
      const isOneClick = 'List-Unsubscribe' in form.value;
      const chosen =
        'choice' in form.value
          ? { choice: form.value.choice, remindDayBefore: form.value.remind === 'yes' }
          : { choice: 'none' as const, remindDayBefore: false };
      const done = deps.chooseWord({ token, ...chosen });
      if (!done.ok) return refusePage(c, 'not-found', GONE);
      // RFC 8058, 3.1: the answer to a mail program is no redirect.
      return isOneClick ? c.text('Done.') : c.redirect(`/your-mail/${token}?did=kept`, 303);
    });

type Props = { readonly mail: YourMail; readonly workshop: string | undefined; readonly isKept: boolean };
const YourMailPage = ({ mail, workshop, isKept }: Props) => (
  <Page
    title="Your mail"
    width="narrow"
    {...(workshop === undefined ? {} : { workshop })}
    notice={isKept ? { kind: 'done', text: 'Kept. It holds from now on.' } : undefined}
  >
    <h1>What we write to you</h1>
    <p class="lead">
      To {mail.address}
      {mail.roles.length === 0
        ? '. Nobody with this address is in the register now, so nothing is written to it.'
        : `, ${mail.roles.map((role) => WHEN[role]).join('; and ')}.`}
    </p>
    <form method="post" class="fields">
      <fieldset>
        <legend>How often</legend>
        {WORD_CHOICES.map((choice) => (
          <label class="choice">
            <input type="radio" name="choice" value={choice} checked={choice === mail.choice} />
            <span>{CHOICES[choice]}</span>
          </label>
        ))}
      </fieldset>
      {mail.roles.includes('donor') && (
        <CheckBox
          name="remind"
          label="Remind me the day before a visit"
          typed={mail.remindDayBefore ? 'yes' : ''}
        />
      )}
      <p class="actions">
        <button type="submit" class="primary">
          Keep
        </button>
      </p>
    </form>
  </Page>
);
