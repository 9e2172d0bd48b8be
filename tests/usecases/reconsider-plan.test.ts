/** From a happening to a draft, through the real journal and its reactions. */
import { afterEach, beforeEach, expect, test } from 'vitest';
import { keepReacting } from '../../src/jobs/keep-reacting.ts';
import { reconsiderPlanWhenSomethingHappens } from '../../src/reactions/reconsider-plan-when-something-happens.ts';
import { inTransaction } from '../../src/store/db.ts';
import { newestEntry } from '../../src/store/journal.ts';
import { readFacts } from '../../src/store/journal-kinds.ts';
import { getPlan, listPlans, publishedPlan } from '../../src/store/plans.ts';
import { listSites } from '../../src/store/sites.ts';
import { requireWorkshop, saveWorkshop } from '../../src/store/workshop.ts';
import { cancelBooking } from '../../src/usecases/cancel-extra-collection.ts';
import { confirmExtraCollection } from '../../src/usecases/confirm-extra-collection.ts';
import { dropDraft } from '../../src/usecases/drop-draft.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { quoteExtraCollection } from '../../src/usecases/quote-extra-collection.ts';
import { reportDriverAway } from '../../src/usecases/report-driver-away.ts';
import { readChanges } from '../../src/web/coordinator/changes-view.ts';
import { entryWords } from '../../src/web/shared/journal-words.ts';
import { readNames } from '../../src/web/shared/names.ts';
import { type Demo, openDemo, planInPlace } from '../fixtures/demo-app.ts';

let demo: Demo;
let reactor: ReturnType<typeof keepReacting>;
const faults: unknown[] = [];
beforeEach(async () => {
  demo = await openDemo();
  const { planId } = await planWeek(demo.context, planInPlace, { seed: 1, iterations: 100, actor: 'test' });
  publishPlan(demo.context, { planId, actor: 'test' });
  reactor = keepReacting({
    context: { ...demo.context, planner: planInPlace, seed: 1 },
    reactions: [reconsiderPlanWhenSomethingHappens],
    onFault: (error) => faults.push(error),
  });
  await reactor.settled();
});
afterEach(async () => {
  await reactor.stop();
  demo.close();
  expect(faults.splice(0)).toEqual([]);
});
const danger = () => {
  const entry = newestEntry(demo.context.store, 'plan-in-danger');
  return entry && readFacts('plan-in-danger', entry.facts);
};

test('a driver falls ill: the round without a driver is a danger, and a draft waits that does without it', async () => {
  const { store } = demo.context;
  const told = publishedPlan(store)!;
  const round = told.rounds.at(-1)!;
  reportDriverAway(demo.context, { shiftId: round.shiftId, reason: 'ill', actor: 'test' });
  await reactor.settled();
  const found = danger()!;
  expect(found).toMatchObject({ isPublished: false });
  expect(found.dangers.map(({ kind }) => kind)).toContain('round-without-van');
  const draft = getPlan(store, found.draftId!)!;
  expect(draft.rounds.some(({ shiftId }) => shiftId === round.shiftId)).toBe(false);
  expect(publishedPlan(store)!.id).toBe(told.id);

  const view = readChanges(store, demo.context.now())!;
  expect(view.planId).toBe(draft.id);
  expect(view.differences.length).toBeGreaterThan(0);
  const words = entryWords(newestEntry(store, 'plan-in-danger')!, readNames(store));
  expect(words).toMatch(/has no van or no driver any more\..* A draft that mends it waits/);

  const coordinator = `feedround-coordinator=${demo.signIn('coordinator')}`;
  const get = async (path: string) =>
    (await demo.app.request(path, { headers: { cookie: coordinator } })).text();
  expect(await get('/week')).toContain(`/changes?plan=${draft.id}`);
  const page = await get('/changes');
  expect(page).toContain('Why it was made');
  expect(page).toMatch(/was told this day|instead of/);

  expect(dropDraft(demo.context, { planId: draft.id, actor: 'test' }).ok).toBe(true);
  expect(getPlan(store, draft.id)).toBeUndefined();
  expect(dropDraft(demo.context, { planId: told.id, actor: 'test' })).toMatchObject({
    refusal: { kind: 'plan-not-a-draft' },
  });
});

test('a booking where small changes wait: a draft that puts it in; cancelled, one that takes it out', async () => {
  const { store } = demo.context;
  const visited = new Set(
    publishedPlan(store)!.rounds.flatMap(({ stops }) => stops.map((one) => one.siteId)),
  );
  const at = demo.context.now();
  const ask = (siteId: string) =>
    quoteExtraCollection(demo.context, {
      siteId,
      eventKind: 'festival',
      eventEndsAt: at + 43_200,
      expectedBags: 4,
      fromAt: at + 43_200,
      untilAt: at + 4 * 86_400,
      remarks: '',
      hazards: '',
      askedBy: 'test',
    });
  const site = listSites(store).find(({ id }) => {
    const quoted = ask(id);
    return !visited.has(id) && quoted.ok && quoted.value.quote.slots.length > 0;
  })!;
  const quoted = ask(site.id);
  if (!quoted.ok) throw new Error(quoted.refusal.kind);
  const { id: quoteId, slots } = quoted.value.quote;
  const slotFromAt = slots[0]!.fromAt;
  const taken = confirmExtraCollection(demo.context, {
    factId: 'fact-0001',
    quoteId,
    slotFromAt,
    actor: 'test',
  });
  if (!taken.ok) throw new Error(taken.refusal.kind);
  await reactor.settled();
  const draft = getPlan(store, danger()!.draftId!)!;
  const day = slots[0]!.day;
  expect(
    draft.rounds.some((one) => one.day === day && one.stops.some((stop) => stop.siteId === site.id)),
  ).toBe(true);
  expect(publishPlan(demo.context, { planId: draft.id, actor: 'test' }).ok).toBe(true);

  cancelBooking(demo.context, { bookingId: taken.value.bookingId, actor: 'test' });
  await reactor.settled();
  expect(danger()!.dangers).toContainEqual(
    expect.objectContaining({ kind: 'stop-without-need', siteId: site.id, day }),
  );
});

test('the same cancelled booking publishes itself where the workshop allows it', async () => {
  const { store } = demo.context;
  inTransaction(store, (tx) => {
    const workshop = requireWorkshop(tx);
    saveWorkshop(tx, { ...workshop, settings: { ...workshop.settings, publishesSmallChanges: true } });
  });
  const before = listPlans(store).length;
  const round = publishedPlan(store)!.rounds.at(-1)!;
  reportDriverAway(demo.context, { shiftId: round.shiftId, reason: '', actor: 'test' });
  await reactor.settled();
  // A driver less is no small change: it waits for the coordinator all the same.
  expect(danger()).toMatchObject({ isPublished: false });
  expect(listPlans(store).length).toBe(before + 1);
});
