/** What waits for the coordinator, most urgent first, each with one thing to do. */
import { number } from '../../shared/format.ts';
import { Page } from '../../shared/page.tsx';
import type { DueItem, InboxView } from './inbox-view.ts';
import { type Act, dueWords, itemWords } from './inbox-words.ts';

const FRAME = { role: 'coordinator', here: '/inbox' } as const;
const WEEK_S = 7 * 86_400;

export const InboxPage = ({ view }: { readonly view: InboxView }) => {
  const { items, nowAt } = view;
  const urgent = items.filter(({ dueAt }) => dueAt <= nowAt + 86_400);
  const later = items.filter(({ dueAt }) => dueAt > nowAt + WEEK_S);
  const week = items.slice(urgent.length, items.length - later.length);
  return (
    <Page title="Inbox" workshop={view.names.workshop} {...FRAME}>
      <h1>Inbox</h1>
      {items.length === 0 ? (
        <Empty />
      ) : (
        <>
          <p class="lead">
            {items.length === 1 ? 'One thing waits' : `${number(items.length)} things wait`} for a person.
          </p>
          <Group title="Within a day" items={urgent} view={view} />
          <Group title="This week" items={week} view={view} />
          <Group title="When there is time" items={later} view={view} />
        </>
      )}
    </Page>
  );
};

type GroupProps = { readonly title: string; readonly items: readonly DueItem[]; readonly view: InboxView };

const Group = ({ title, items, view }: GroupProps) =>
  items.length === 0 ? null : (
    <section class="inbox-group">
      <h2>{title}</h2>
      <ul class="inbox">
        {items.map((one) => (
          <Item due={one} view={view} />
        ))}
      </ul>
    </section>
  );

const Item = ({ due: { item, dueAt }, view }: { readonly due: DueItem; readonly view: InboxView }) => {
  const { what, facts, act } = itemWords(item, view.names);
  return (
    <li class="inbox-item whole">
      <p class="inbox-due">{dueWords(dueAt, view.nowAt, view.today, view.names.zone)}</p>
      <div>
        <h3>{what}</h3>
        <p>{facts}</p>
      </div>
      <div class="on-screen">
        <ActOn act={act} about={what} />
      </div>
    </li>
  );
};

const ActOn = ({ act, about }: { readonly act: Act; readonly about: string }) =>
  act.isForm ? (
    <form method="post" action={act.to}>
      {Object.entries(act.fields ?? {}).map(([name, value]) => (
        <input type="hidden" name={name} value={value} />
      ))}
      <button type="submit">
        {act.label}
        <span class="unseen">: {about}</span>
      </button>
    </form>
  ) : (
    <a class="button" href={act.to}>
      {act.label}
      <span class="unseen">: {about}</span>
    </a>
  );

/** An empty inbox says what would be in it, so that nobody has to wonder whether it works. */
const Empty = () => (
  <>
    <p class="lead">Nothing waits. Whatever needs a person comes here by itself.</p>
    <dl class="pairs">
      <dt>Plan</dt>
      <dd>
        The published week cannot be kept any more, a promise finds no van, or the last planned day is near.
      </dd>
      <dt>Donors</dt>
      <dd>An extra collection was asked for and has no day yet.</dd>
      <dt>Production</dt>
      <dd>A grade runs short in the days that are planned.</dd>
      <dt>Figures</dt>
      <dd>A weigh-in does not fit what was expected there.</dd>
      <dt>Vans</dt>
      <dd>A check is due within three weeks.</dd>
      <dt>Word</dt>
      <dd>A message could not be sent, or a consequence could not be drawn.</dd>
    </dl>
    <p>
      <a href="/week">To the week sheet</a>
    </p>
  </>
);
