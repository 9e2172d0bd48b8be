/** The journal: what happened, day by day, and on top what should follow from it and could not yet. */
import { dateTime, dayLong, machineTime, number, time } from '../shared/format.ts';
import { capital, plainName } from '../shared/journal-words.ts';
import { type Notice, Page } from '../shared/page.tsx';
import type { JournalView, WaitingRow } from './journal-view.ts';

const FRAME = { role: 'coordinator', here: '/journal' } as const;

export const JournalPage = ({
  view,
  notice,
}: {
  readonly view: JournalView;
  readonly notice?: Notice | undefined;
}) => (
  <Page title="Journal" workshop={view.workshop.name} notice={notice} live={{ how: 'itself' }} {...FRAME}>
    <h1>Journal</h1>
    <p class="lead">
      What happened, newest first. Everything that the plan and the estimates rest on is here.
    </p>
    <p class="actions">
      <a class="button" href="/happened">
        Something happened
      </a>
      <a href="/word">Word to people</a>
    </p>
    {view.waiting.length > 0 && <Waiting view={view} />}
    {view.days.length === 0 ? (
      <p>Nothing yet.</p>
    ) : (
      view.days.map(({ day, entries }) => (
        <section class="journal-day">
          <h2>{dayLong(day)}</h2>
          <ol class="journal" reversed>
            {entries.map(({ seq, at, text, actor }) => (
              <li id={`entry-${seq}`}>
                <time datetime={machineTime(at)}>{time(at, view.workshop.zone)}</time>
                <p>
                  {text} {!saysWho(text, actor) && <span class="soft">{actor}</span>}
                </p>
                <span class="journal-seq">
                  <span class="unseen">Entry </span>
                  {seq}
                </span>
              </li>
            ))}
          </ol>
        </section>
      ))
    )}
    {view.olderThan !== undefined && (
      <p class="after">
        <a href={`/journal?before=${view.olderThan}`}>Earlier entries</a>
      </p>
    )}
  </Page>
);

/** The sentence begins with who did it: once is enough. */
const saysWho = (text: string, actor: string): boolean =>
  [actor, `the ${actor}`].some((who) => text.toLowerCase().startsWith(who.toLowerCase()));

const Waiting = ({ view }: { readonly view: JournalView }) => (
  <section class="doubts" aria-labelledby="waiting">
    <h2 id="waiting">What waits</h2>
    <p>
      What should follow from these could not be done yet. Later ones about the same thing wait behind them.
      What is set aside is left out for good.
    </p>
    <ul class="rows">
      {view.waiting.map((row) => (
        <WaitingItem row={row} zone={view.workshop.zone} />
      ))}
    </ul>
  </section>
);

const WaitingItem = ({ row, zone }: { readonly row: WaitingRow; readonly zone: string }) => (
  <li class="doubt">
    <p>
      <b>{capital(plainName(row.reaction))}</b>: {row.text} <span class="soft">{stateOf(row, zone)}</span>
    </p>
    {row.error !== '' && <p class="small">{row.error}</p>}
    {row.attempts > 0 && (
      <form class="actions" method="post" action={`/journal/waiting/${row.reaction}/${row.seq}`}>
        <button type="submit" name="what" value="again">
          Try again
          <span class="unseen">
            : {plainName(row.reaction)}, entry {row.seq}
          </span>
        </button>
        <button type="submit" class="quiet" name="what" value="aside">
          Set aside
          <span class="unseen">
            : {plainName(row.reaction)}, entry {row.seq}
          </span>
        </button>
      </form>
    )}
  </li>
);

function stateOf({ attempts, nextAt }: WaitingRow, zone: string): string {
  if (attempts === 0) return 'waits behind an earlier one';
  const tries = `tried ${number(attempts)} ${attempts === 1 ? 'time' : 'times'}`;
  return nextAt === null ? `${tries}, given up` : `${tries}, next ${dateTime(nextAt, zone)}`;
}
