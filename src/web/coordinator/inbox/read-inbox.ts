/** Gathers what waits for the coordinator from where each thing is kept. Nothing is stored of the list itself. */
import { addDays, dayStart, localOf } from '../../../core/calendar/zone.ts';
import type { Instant, LocalDay, Seconds } from '../../../core/quantity/units.ts';
import { listBookingsAhead } from '../../../store/bookings.ts';
import type { Db } from '../../../store/db.ts';
import { listUnsent } from '../../../store/outbox.ts';
import { getPlan, publishedPlan, type StoredPlan } from '../../../store/plans.ts';
import { listWaiting } from '../../../store/reactions.ts';
import { listVans } from '../../../store/vans.ts';
import { actorWords, entryWords } from '../../shared/journal-words.ts';
import { type Names, readNames } from '../../shared/names.ts';
import { newestDanger } from '../changes-view.ts';
import { readDoubts } from '../read-weigh-ins.ts';
import { isShort } from '../stock-words.ts';
import type { DueItem, InboxItem, InboxView } from './inbox-view.ts';

const DAY_S: Seconds = 86_400;
/** A van's check is said this long before, so that a workshop can be found for it. */
const CHECK_AHEAD_DAYS = 21;
/** A plan that ends so soon wants the next one. */
const PLAN_AHEAD_DAYS = 2;
/** Older ones are looked at on the page of sites, when there is time for it. */
const DOUBT_RECENT_S: Seconds = 60 * DAY_S;
/** An estimate that is off for two weeks begins to cost rounds. Own judgement. */
const DOUBT_ANSWER_S: Seconds = 14 * DAY_S;

export function readInbox(db: Db, nowAt: Instant): InboxView {
  const names = readNames(db);
  const today = localOf(names.zone, nowAt).day;
  const published = publishedPlan(db);
  const asked: Asked = { db, nowAt, today, zone: names.zone, names, published };
  const items = [
    ...dangers(asked),
    ...promises(asked),
    ...bookings(asked),
    ...shortages(asked),
    ...checks(asked),
    ...planEnds(asked),
    ...parked(asked),
    ...words(asked),
    ...doubts(asked),
  ];
  return { names, nowAt, today, items: items.sort((a, b) => a.dueAt - b.dueAt) };
}

type Asked = {
  readonly db: Db;
  readonly nowAt: Instant;
  readonly today: LocalDay;
  readonly zone: string;
  readonly names: Names;
  readonly published: StoredPlan | undefined;
};

const due = (dueAt: Instant, item: InboxItem): DueItem => ({ item, dueAt });

function dangers({ db, nowAt, published }: Asked): DueItem[] {
  const newest = newestDanger(db);
  // A plan that was replaced since, or a danger that mended itself into the published plan, is past.
  if (!newest || newest.isPublished || !published) return [];
  const draft = newest.draftId === null ? undefined : getPlan(db, newest.draftId);
  const isWaiting = draft?.state === 'draft';
  if (!isWaiting && (newest.draftId !== null || newest.planId !== published.id)) return [];
  return [due(nowAt, { kind: 'plan-in-danger', dangers: newest.dangers, draftId: draft?.id })];
}

const promises = ({ nowAt, published }: Asked): DueItem[] =>
  (published?.plan.unkept ?? [])
    .filter((promise) => promise.windowUntilAt > nowAt)
    .map((promise) => due(promise.windowFromAt, { kind: 'promise-not-kept', promise }));

const bookings = ({ db, nowAt }: Asked): DueItem[] =>
  listBookingsAhead(db, ['waiting'], nowAt).map(({ id, siteId, fromAt, untilAt }) =>
    due(fromAt, { kind: 'booking-waits', bookingId: id, siteId, fromAt, untilAt }),
  );

/** By grade, the first day that runs short. */
function shortages({ today, zone, published }: Asked): DueItem[] {
  const ahead = (published?.plan.stock ?? []).filter(({ day }) => day >= today);
  return [...Map.groupBy(ahead, ({ grade }) => grade)].flatMap(([grade, days]) => {
    const first = days.find(isShort);
    if (!first) return [];
    const shortKg = days.reduce((sum, day) => sum + day.shortKg, 0);
    const risk = Math.max(...days.map(({ shortageRisk }) => shortageRisk));
    return [due(dayStart(zone, first.day), { kind: 'runs-short', grade, day: first.day, shortKg, risk })];
  });
}

const checks = ({ db, today, zone }: Asked): DueItem[] =>
  listVans(db).flatMap(({ id, checkDueDay }) =>
    checkDueDay !== null && checkDueDay <= addDays(today, CHECK_AHEAD_DAYS)
      ? [due(dayStart(zone, checkDueDay), { kind: 'van-check', vanId: id, day: checkDueDay })]
      : [],
  );

function planEnds({ nowAt, today, zone, published }: Asked): DueItem[] {
  const lastDay = published?.plan.days.at(-1);
  if (lastDay !== undefined && lastDay > addDays(today, PLAN_AHEAD_DAYS - 1)) return [];
  const dueAt = lastDay === undefined ? nowAt : Math.max(nowAt, dayStart(zone, lastDay));
  return [due(dueAt, { kind: 'plan-ends', lastDay })];
}

/** Those that gave up, or failed before: one that only waits behind another is mended with it. */
const parked = ({ db, nowAt, names }: Asked): DueItem[] =>
  listWaiting(db)
    .filter(({ nextAt, attempts }) => nextAt === null && attempts > 0)
    .map((row) =>
      due(nowAt, {
        kind: 'reaction-parked',
        reaction: row.reaction,
        seq: row.seq,
        text: entryWords(row, names),
        error: row.error,
      }),
    );

const words = ({ db, nowAt, names }: Asked): DueItem[] =>
  listUnsent(db)
    .filter(({ parkedAt }) => parkedAt !== null)
    .map(({ person, error }) =>
      due(nowAt, { kind: 'word-parked', person: actorWords(person, names), error: error ?? '' }),
    );

const doubts = ({ db, nowAt }: Asked): DueItem[] =>
  readDoubts(db)
    .filter(({ at }) => at >= nowAt - DOUBT_RECENT_S)
    .map((doubt) => due(doubt.at + DOUBT_ANSWER_S, { kind: 'odd-weigh-in', doubt }));

/** For the masthead; nothing before there is a workshop. */
export const countInbox = (db: Db, nowAt: Instant): number => readInbox(db, nowAt).items.length;
