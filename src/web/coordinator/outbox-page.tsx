/** Word to people: what waits, what could not be sent, what was said, and the texts it is said in. */
import { dateTime } from '../shared/format.ts';
import { capital, plainName } from '../shared/journal-words.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { OWN_MAIL } from '../shared/your-mail.tsx';
import type { OutboxView, WordRow } from './journal-view.ts';

const FRAME = { role: 'coordinator', here: '/journal' } as const;

const UNSAID: { readonly [why in NonNullable<WordRow['unsaid']>]: string } = {
  'no-address': 'not sent: nobody there has an e-mail address',
  'not-wanted': 'not sent: the address does not want it',
  'out-of-date': 'not sent: it was true no longer',
};

export const OutboxPage = ({
  view,
  notice,
}: {
  readonly view: OutboxView;
  readonly notice?: Notice | undefined;
}) => (
  <Page
    title="Word to people"
    workshop={view.workshop.name}
    notice={notice}
    live={{ how: 'itself' }}
    {...FRAME}
  >
    <p class="kicker">
      <a href="/journal">Journal</a>
    </p>
    <h1>Word to people</h1>
    <p class="lead">
      Donors, drivers and the workshop hear by e-mail of what concerns them. What happens within a few minutes
      goes in one mail, and nobody is written to in the quiet hours.
    </p>
    {view.hasOwnAddress && (
      <form class="actions" method="post" action={OWN_MAIL.coordinator}>
        <button type="submit">Choose what the workshop is sent</button>
      </form>
    )}
    {!view.hasOwnAddress && (
      <p class="doubts">
        The workshop has no e-mail address of its own, so nobody hears by mail when something needs a look.
        Write it under <code>word.email</code> in workshop.json and import it.
      </p>
    )}
    <h2>To be sent</h2>
    <Words rows={view.unsent} zone={view.workshop.zone} none="Nothing waits." label="To be sent" />
    <h2>Said lately</h2>
    <Words rows={view.done} zone={view.workshop.zone} none="Nothing yet." label="Said lately" />
    <h2>Texts</h2>
    <ul class="word-texts">
      {view.texts.map(({ template, when, isOwn }) => (
        <li>
          <a href={`/word/texts/${template}`}>{capital(plainName(template))}</a>: when {when}.{' '}
          {isOwn && <span class="soft">Your own text.</span>}
        </li>
      ))}
    </ul>
  </Page>
);

type WordsProps = {
  readonly rows: readonly WordRow[];
  readonly zone: string;
  readonly none: string;
  readonly label: string;
};
const Words = ({ rows, zone, none, label }: WordsProps) =>
  rows.length === 0 ? (
    <p>{none}</p>
  ) : (
    <section class="scroll" aria-label={label} tabindex={0}>
      <table>
        <thead>
          <tr>
            <th scope="col">To</th>
            <th scope="col">About</th>
            <th scope="col">When</th>
          </tr>
        </thead>
        <tbody>
          {rows.map((row) => (
            <tr>
              <td>
                {row.person} <span class="soft">{row.recipient}</span>
              </td>
              <td>{plainName(row.template)}</td>
              <td>
                {stateOf(row, zone)}
                {row.error !== null && <span class="field-error"> {row.error}</span>}
                {row.parkedAt !== null && row.mailId !== null && (
                  <form method="post" action={`/word/mails/${row.mailId}/again`}>
                    <button type="submit" class="quiet">
                      Try again<span class="unseen">: mail to {row.recipient}</span>
                    </button>
                  </form>
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );

function stateOf({ sentAt, unsaid, parkedAt, attempts, notBeforeAt }: WordRow, zone: string): string {
  if (sentAt !== null) return `sent ${dateTime(sentAt, zone)}`;
  if (unsaid !== null) return UNSAID[unsaid];
  if (parkedAt !== null) return `given up ${dateTime(parkedAt, zone)}`;
  return attempts === 0 ? `from ${dateTime(notBeforeAt, zone)}` : `again ${dateTime(notBeforeAt, zone)}`;
}
