/**
 * What an address wants to be told: open to whoever holds the link at the foot of its mails, and nothing else in it.
 * A POST of `List-Unsubscribe=One-Click` comes from mail programs (RFC 8058) and ends it all.
 */
import { Hono } from 'hono';
import { z } from 'zod';
import type { Result } from '../../core/quantity/result.ts';
import { WORD_CHOICES, type WordChoice } from '../../core/vocabulary.ts';
import { CheckBox } from './controls.tsx';
import { readForm } from './form.ts';
import { refusePage } from './html-error.tsx';
import { Page } from './page.tsx';

export type YourMail = {
  readonly address: string;
  readonly choice: WordChoice;
  readonly remindDayBefore: boolean;
};
export type YourMailDeps = {
  readonly workshopName: () => string | undefined;
  readonly findChoice: (token: string) => YourMail | undefined;
  readonly chooseWord: (
    request: Omit<YourMail, 'address'> & { readonly token: string },
  ) => Result<YourMail, { readonly kind: string }>;
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

export const yourMailPages = (deps: YourMailDeps): Hono =>
  new Hono()
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
      To {mail.address}, when something changes about our collections: a visit moves, a stop was missed, an
      extra collection is confirmed.
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
      <CheckBox
        name="remind"
        label="Remind me the day before a visit"
        typed={mail.remindDayBefore ? 'yes' : ''}
      />
      <p class="actions">
        <button type="submit" class="primary">
          Keep
        </button>
      </p>
    </form>
  </Page>
);
