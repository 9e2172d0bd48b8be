/** The pages on which a plan is changed by hand: what a person reads and may press, over the real database. */
import { afterAll, beforeAll, expect, test } from 'vitest';
import type { Change } from '../../../src/core/planning/changes.ts';
import { checkPlan } from '../../../src/core/planning/check.ts';
import { getPlan, listPlans, type StoredPlan } from '../../../src/store/plans.ts';
import { listSites } from '../../../src/store/sites.ts';
import { requireWorkshop } from '../../../src/store/workshop.ts';
import { problemOfPlan } from '../../../src/usecases/build-planning-problem.ts';
import { planToShow } from '../../../src/usecases/plan-to-show.ts';
import { planWeek } from '../../../src/usecases/plan-week.ts';
import { publishPlan } from '../../../src/usecases/publish-plan.ts';
import { takeVanOffRoad } from '../../../src/usecases/take-van-off-road.ts';
import { askWhatIf } from '../../../src/usecases/what-if.ts';
import {
  answerPath,
  changeOfQuery,
  queryOfChange,
  roomPath,
} from '../../../src/web/coordinator/change-query.ts';
import { dayLong, money, plainSpaces } from '../../../src/web/shared/format.ts';
import { type Demo, ORIGIN, openDemo, planInPlace } from '../../fixtures/demo-app.ts';

let demo: Demo;
let cookie: string;
beforeAll(async () => {
  demo = await openDemo();
  cookie = `feedround_coordinator=${demo.signIn('coordinator')}`;
  const { planId } = await planWeek(demo.context, planInPlace, { seed: 1, iterations: 200, actor: 'test' });
  publishPlan(demo.context, { planId, actor: 'test' });
});
afterAll(() => {
  expect(demo.faults).toEqual([]);
  demo.close();
});

async function visit(path: string, form?: Readonly<Record<string, string>>) {
  const authorization = `Bearer ${cookie.split('=')[1]}`;
  const answer = await demo.app.request(path, {
    method: form ? 'POST' : 'GET',
    headers: { authorization, origin: ORIGIN },
    ...(form ? { body: new URLSearchParams(form) } : {}),
  });
  const html = await answer.text();
  return {
    status: answer.status,
    location: answer.headers.get('location'),
    html,
    text: plainSpaces(html.replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' ')),
  };
}
const shown = (): StoredPlan => planToShow(demo.context.store)!;
const stopsOf = (plan: StoredPlan) =>
  plan.rounds.flatMap((round) =>
    round.stops.flatMap(({ siteId, reason }) =>
      siteId ? [{ siteId, day: round.day, shiftId: round.shiftId, reason: reason! }] : [],
    ),
  );
const consequences = (change: Change) => {
  const asked = askWhatIf(demo.context, { planId: shown().id, changes: [change] });
  return asked.ok ? asked.value.consequences : undefined;
};
/** A change of some kind, the first that `isWanted`. */
function find(
  isWanted: (found: NonNullable<ReturnType<typeof consequences>>, change: Change) => boolean,
): Change {
  const { plan } = shown();
  for (const { siteId, day } of stopsOf(shown()))
    for (const change of [
      { kind: 'skip', siteId, day } as const,
      ...plan.days
        .filter((one) => one !== day)
        .map((toDay) => ({ kind: 'move', siteId, day, toDay }) as const),
    ]) {
      const found = consequences(change);
      if (found && isWanted(found, change)) return change;
    }
  throw new Error('no such change');
}
const fine = () => find(({ obstacles, brokenPromises }) => obstacles.length + brokenPromises.length === 0);
let forms = 0;
const formOf = (change: Change, over: Readonly<Record<string, string>> = {}) => ({
  factId: `form-${++forms}`,
  ...Object.fromEntries(queryOfChange(change)),
  ...over,
});

test('a change survives the way into an address and back', () => {
  const changes: Change[] = [
    { kind: 'skip', siteId: 's', day: '2026-06-15' },
    { kind: 'add', siteId: 's', day: '2026-06-15', position: 2 },
    { kind: 'move', siteId: 's', day: '2026-06-15', toDay: '2026-06-16', shiftId: 'h', position: 1 },
    { kind: 'pin', siteId: 's', day: '2026-06-15' },
    { kind: 'swap-drivers', shiftId: 'a', withShiftId: 'b' },
  ];
  for (const change of changes)
    expect(changeOfQuery(Object.fromEntries(queryOfChange(change)))).toEqual(change);
  expect(changeOfQuery({ kind: 'skip', site: 's', day: 'Monday' })).toBeUndefined();
  expect(changeOfQuery({ kind: 'move', site: 's', day: '2026-06-15', position: '0' })).toBeUndefined();
});

test('a stop says why it is there, and what each other day would cost; the price is the planner’s', async () => {
  const { siteId, day } = stopsOf(shown())[0]!;
  const page = await visit(`/plans/${shown().id}/sites/${siteId}/change?day=${day}`);
  expect(page.status).toBe(200);
  expect(page.text).toMatch(/stop \d+ of \d+/);
  expect(page.text).toMatch(/Dropping it would (cost|save)/);
  expect(page.text).toContain('Leave it out');
  expect(page.text).toContain('Another place in its round');
  const { after, before } = consequences({ kind: 'skip', siteId, day })!;
  const cost = Math.abs((after!.costMicros - before.costMicros) / 1e6).toFixed(2);
  expect(page.text).toContain(`€${cost}`);
  const round = shown().rounds.find((one) => one.day === day)!;
  expect((await visit(`/rounds/${round.id}`)).html).toContain(`/sites/${siteId}/change?day=${day}`);
});

test('a site left out says why, and what a visit would cost', async () => {
  const [left] = shown().plan.leftOut;
  const page = await visit(`/sites/${left!.siteId}/visit`);
  expect(page.status).toBe(200);
  expect(page.text).toContain('It is not visited in these days.');
  expect(page.html).toContain('kind=add');
  expect((await visit(`/sites/${left!.siteId}`)).html).toContain(`/sites/${left!.siteId}/visit`);
});

test('what cannot be driven says why with its figures, and has nothing to keep', async () => {
  const change = find(({ obstacles }) => obstacles.some(({ kind }) => kind.startsWith('van-over')));
  const page = await visit(answerPath(shown().id, change));
  expect(page.text).toContain('This cannot be driven.');
  expect(page.text).toMatch(/to reckon with, and the van (may carry|holds) [\d,]+ (kg|L)/);
  expect(page.text).not.toContain('Keep as draft');
  const sent = await visit(`/plans/${shown().id}/changes`, formOf(change));
  expect(sent.status).toBe(422);
  expect(sent.text).toContain('Nothing was kept');
});

test('a promise is broken only by a button that says so', async () => {
  const change = find(({ obstacles, brokenPromises }) => obstacles.length === 0 && brokenPromises.length > 0);
  const page = await visit(answerPath(shown().id, change));
  expect(page.text).toContain('Somebody was promised otherwise.');
  expect(page.text).toContain('Keep as draft, and break the promise');
  const path = `/plans/${shown().id}/changes`;
  expect((await visit(path, formOf(change))).status).toBe(422);
  const kept = await visit(path, formOf(change, { breaks: 'yes' }));
  expect(kept.status).toBe(303);
  expect(getPlan(demo.context.store, shown().id)!.plan.unkept.length).toBeGreaterThan(0);
  await visit(`/plans/${shown().id}/take-back`, {});
});

test('kept, the sheet says what was changed; the same form twice keeps one draft', async () => {
  const base = shown();
  const change = fine();
  const form = formOf(change);
  const kept = await visit(`/plans/${base.id}/changes`, form);
  expect(kept).toMatchObject({ status: 303, location: `/week?plan=${form.factId}&did=changed` });
  const again = await visit(`/plans/${base.id}/changes`, form);
  expect(again.location).toBe(kept.location);
  expect(listPlans(demo.context.store, 'draft')).toHaveLength(1);
  const sheet = await visit(kept.location!);
  expect(sheet.text).toContain('Changed by hand:');
  expect(sheet.html).toContain(`/plans/${form.factId}/take-back`);

  const compared = await visit(`/plans/${base.id}/against/${form.factId}`);
  expect(compared.text).toContain('1 site has another day');
  expect(compared.text).toContain('Both reckoned on the facts of now.');
  const redirected = await visit(`/plans/beside?one=${base.id}&other=${form.factId}`);
  expect(redirected.location).toBe(`/plans/${base.id}/against/${form.factId}`);
});

test('whoever is second reads what the first changed, and can go on from there', async () => {
  const base = shown();
  const first = fine();
  await visit(`/plans/${base.id}/changes`, formOf(first));
  const second = fine();
  const told = await visit(`/plans/${base.id}/changes`, formOf(second));
  expect(told.status).toBe(409);
  expect(told.text).toContain('The week was changed meanwhile');
  expect(told.text).toContain('Changed by Coordinator');
  expect(told.text).toMatch(/What is different now [A-Z][a-z]+day \d+ June /);
  expect(told.html).toContain(answerPath(shown().id, second).replaceAll('&', '&amp;'));
  // The old plan itself says that it is not the one to change.
  const old = await visit(answerPath(base.id, second));
  expect(old.text).toContain('This is not the newest plan');
  expect(old.text).not.toContain('Keep as draft');
});

test('taking back goes one step, and says when there is nothing', async () => {
  const { id, baseId } = shown();
  const taken = await visit(`/plans/${id}/take-back`, {});
  expect(taken).toMatchObject({ status: 303, location: `/week?plan=${baseId}&did=taken-back` });
  expect((await visit(taken.location!)).text).toContain('Taken back.');
  expect((await visit(`/plans/${id}/take-back`, {})).status).toBe(404);
  const [published] = listPlans(demo.context.store, 'published');
  const nothing = await visit(`/plans/${published!.id}/take-back`, {});
  expect(nothing.status).toBe(409);
  expect(nothing.text).toContain('There is nothing to take back');
});

test('a pin is kept from the page of its stop, and shown there', async () => {
  const { siteId, day } = stopsOf(shown())[0]!;
  const pinned = await visit(`/plans/${shown().id}/changes`, formOf({ kind: 'pin', siteId, day }));
  expect(pinned.status).toBe(303);
  const page = await visit(`/plans/${shown().id}/sites/${siteId}/change?day=${day}`);
  expect(page.text).toContain('It is pinned to its day');
  expect(page.text).toContain('Unpin it');
});

test('drivers who could change places are offered with the cost', async () => {
  const page = await visit(`/plans/${shown().id}/drivers/${shown().rounds[0]!.shiftId}`);
  expect(page.status).toBe(200);
  expect(page.html).toContain('kind=swap-drivers');
  expect(page.text).toContain('Two drivers change places');
});

test('what is not there, and what cannot be read, is said with a way back', async () => {
  const { siteId, day } = stopsOf(shown())[0]!;
  expect((await visit(`/plans/nobody/sites/${siteId}/change?day=${day}`)).status).toBe(404);
  expect((await visit(`/sites/nobody/visit`)).status).toBe(404);
  expect((await visit(`/plans/${shown().id}/what-if?kind=dance`)).status).toBe(400);
  expect((await visit(`/plans/${shown().id}/against/nobody`)).status).toBe(404);
  expect((await visit(`/plans/${shown().id}/drivers/nobody`)).status).toBe(422);
  expect((await visit(`/plans/${shown().id}/changes`, { kind: 'skip' })).status).toBe(400);
  const unplanned = await visit(
    answerPath(shown().id, { kind: 'skip', siteId: shown().plan.leftOut[0]!.siteId, day }),
  );
  expect(unplanned.status).toBe(422);
  expect(unplanned.text).toContain('The site is not visited on that day.');
  expect((await visit('/week')).text).toContain('Changed by hand');
});

/** A stop that nobody was promised, to a day whose van is too full for it, where the others can make room. */
async function crowdedMove() {
  const base = shown();
  for (const { siteId, day, reason } of stopsOf(base)) {
    if (['promised', 'booked', 'pinned'].includes(reason.code)) continue;
    for (const toDay of base.plan.days) {
      if (toDay === day) continue;
      const change = { kind: 'move', siteId, day, toDay } as const;
      const isCrowded = consequences(change)?.obstacles.some(({ kind }) => kind.startsWith('van-over'));
      if (!isCrowded) continue;
      const room = await visit(roomPath(base.id, change)!);
      if (room.text.includes('Keep as draft')) return change;
      expect(room.text).toContain('There is no room to make.');
    }
  }
  throw new Error('no room is to be made anywhere');
}

test('where there is no room the others make it: who moves is said first, and what is kept is what was seen', async () => {
  const base = shown();
  const change = await crowdedMove();
  const { siteId, day, toDay } = change;
  const answer = await visit(answerPath(base.id, change));
  expect(answer.text).toContain('Let the others make room for it');
  const path = roomPath(base.id, change)!;
  expect(answer.html).toContain(path.replaceAll('&', '&amp;'));
  const room = await visit(path);
  expect(room.text).toMatch(/It (costs|saves) .+ in all/);
  expect(room.text).toMatch(/Who is visited otherwise \([1-9]/);

  const form = { factId: 'room-form-1', site: siteId, day, to: toDay };
  const kept = await visit(`/plans/${base.id}/room`, form);
  expect(kept.location).toBe('/week?plan=room-form-1&did=changed');
  expect((await visit(`/plans/${base.id}/room`, form)).location).toBe(kept.location);
  const { store, now } = demo.context;
  const stored = getPlan(store, 'room-form-1')!;
  expect(stored.wishes.pins).toContainEqual({ siteId, day: toDay });
  expect(stopsOf(stored).find((stop) => stop.siteId === siteId && stop.day === toDay)?.reason.code).toBe(
    'pinned',
  );
  expect(stopsOf(stored).some((stop) => stop.siteId === siteId && stop.day === day)).toBe(false);
  expect(checkPlan(problemOfPlan(store, now(), stored), stored.plan)).toEqual([]);
  const cost = money(stored.costMicros, requireWorkshop(store).currency);
  expect(room.text).toContain(plainSpaces(cost));
  expect((await visit('/week')).text).toContain('is pinned to');
  const late = await visit(`/plans/${base.id}/room`, { ...form, factId: 'room-form-2' });
  expect(late.status).toBe(409);
  expect((await visit(`/plans/${base.id}/room?site=${siteId}`)).status).toBe(400);
});

test('stops that cannot be driven any more are named before anything is kept', async () => {
  const { store, now } = demo.context;
  const round = shown().rounds.at(-1)!;
  const others = stopsOf(shown()).filter(({ shiftId }) => shiftId !== round.shiftId);
  const pin: Change = { kind: 'pin', siteId: others[0]!.siteId, day: others[0]!.day };
  expect((await visit(answerPath(shown().id, pin))).text).not.toContain('cannot be driven as planned');
  takeVanOffRoad(demo.context, { vanId: round.vanId, fromAt: now(), reason: 'clutch', actor: 'test' });
  const page = await visit(answerPath(shown().id, pin));
  expect(page.text).toContain('cannot be driven as planned');
  const names = new Map(listSites(store).map(({ id, name }) => [id, name]));
  for (const { siteId } of round.stops)
    if (siteId) expect(page.text).toContain(`${names.get(siteId)}, ${dayLong(round.day)}`);
});

test('a draft changed by hand that another draft came after is not forgotten', async () => {
  const hand = shown();
  expect(hand.changes).toBeDefined();
  expect((await visit('/week')).text).not.toContain('not the newest any more');
  await planWeek(demo.context, planInPlace, { seed: 2, iterations: 20, actor: 'test' });
  const sheet = await visit('/week');
  expect(sheet.text).toContain('A draft that was changed by hand is not the newest any more');
  expect(sheet.html).toContain(`/plans/${hand.id}/against/${shown().id}`);
});
