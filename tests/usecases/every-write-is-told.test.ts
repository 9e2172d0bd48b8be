/**
 * Every use case that writes writes its journal entry in the same transaction. The list of use cases is read from the
 * folder: a new one without a scenario here fails, so that none can be forgotten.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { describe, expect, test } from 'vitest';
import { START_PARAMETERS } from '../../src/core/accumulation/learn-workshop.ts';
import { closeStore, inTransaction } from '../../src/store/db.ts';
import { lastSeq } from '../../src/store/journal.ts';
import { queueWord } from '../../src/store/outbox.ts';
import { savePlan } from '../../src/store/plans.ts';
import type { Quote } from '../../src/store/quotes.ts';
import { saveWaiting } from '../../src/store/reactions.ts';
import { getSite } from '../../src/store/sites.ts';
import * as access from '../../src/usecases/access.ts';
import * as surges from '../../src/usecases/announce-surge.ts';
import { arrangeShifts, changeShift } from '../../src/usecases/arrange-shifts.ts';
import * as calendars from '../../src/usecases/calendar-links.ts';
import { cancelBooking } from '../../src/usecases/cancel-extra-collection.ts';
import { changeObjective } from '../../src/usecases/change-objective.ts';
import * as own from '../../src/usecases/change-own-site.ts';
import { keepChanges, takeBackChange } from '../../src/usecases/change-plan.ts';
import { changeProductionDay } from '../../src/usecases/change-production-day.ts';
import { confirmExtraCollection } from '../../src/usecases/confirm-extra-collection.ts';
import * as confirm from '../../src/usecases/confirm-weigh-in.ts';
import { correctStock } from '../../src/usecases/correct-stock.ts';
import { dropDraft } from '../../src/usecases/drop-draft.ts';
import { keepFit, noteFailedFit } from '../../src/usecases/fit-estimator.ts';
import { importRows, importTable } from '../../src/usecases/import-table.ts';
import { importWorkshop } from '../../src/usecases/import-workshop.ts';
import { keepDriver, keepVan } from '../../src/usecases/keep-fleet.ts';
import { endWorthRun, newWorthRun } from '../../src/usecases/keep-worth-run.ts';
import { markRound } from '../../src/usecases/mark-round.ts';
import { moveSite } from '../../src/usecases/move-site.ts';
import { planWeek } from '../../src/usecases/plan-week.ts';
import { publishPlan } from '../../src/usecases/publish-plan.ts';
import { quoteExtraCollection } from '../../src/usecases/quote-extra-collection.ts';
import { setReactionAside, tryReactionAgain } from '../../src/usecases/react.ts';
import { receiveFilm } from '../../src/usecases/receive-film.ts';
import { recordMissedStop } from '../../src/usecases/record-missed-stop.ts';
import { recordWeighIn } from '../../src/usecases/record-weigh-in.ts';
import { reportDriverAway, reportDriverBack } from '../../src/usecases/report-driver-away.ts';
import { reportFull } from '../../src/usecases/report-full.ts';
import { requestExtraCollection } from '../../src/usecases/request-extra-collection.ts';
import * as places from '../../src/usecases/request-place.ts';
import { putVanBack, takeVanOffRoad } from '../../src/usecases/take-van-off-road.ts';
import { weighLoad } from '../../src/usecases/weigh-load.ts';
import { changeTemplate } from '../../src/usecases/word/change-template.ts';
import { chooseWord } from '../../src/usecases/word/choose-word.ts';
import { choiceOf } from '../../src/usecases/word/queue-word.ts';
import { noteNotSent, takeMail, tryMailAgain } from '../../src/usecases/word/send-mail.ts';
import { planInPlace } from '../fixtures/demo-app.ts';
import { aPlanOnItsDays, DAY_START_AT, publishedStore } from '../fixtures/published-store.ts';
import { driveYears, someWanted } from '../fixtures/worth-view.ts';

type World = ReturnType<typeof publishedStore>;
type Scenario = { readonly before?: (world: World) => unknown; readonly act: (world: World) => unknown };

/** Writes that nobody need be told of, each with its reason. */
const UNTOLD: { readonly [name: string]: string } = {
  saveFills: 'puts away what follows from the evidence alone',
  beginReactions: 'a place in the journal itself',
  takeStep: 'the engine: its own tests hold what it writes',
  takeMail: 'the outbox is its own record of what was sent when',
  noteSent: 'the outbox is its own record',
  keepWorthYears: 'simulated years so far, nothing that happened; their end is told',
  noteNotSent: 'the outbox is its own record; giving up is told (tests/jobs/word.test.ts)',
  quoteExtraCollection: 'an offer: nothing has happened until it is taken',
  openOwnChoice: 'a fresh address of the page where one chooses; the choice itself is told',
  remindOfTomorrow: 'words in the outbox, nothing that happened',
};

const actor = 'test';
const AWAY = { fromDay: '2026-08-03', untilDay: '2026-08-14', reason: 'holidays' };
const at = DAY_START_AT + 9 * 3600;
const PLACE = {
  factId: 'place-0001',
  name: 'River clean-up',
  contact: 'river@clean.example',
  place: 'Mill meadow',
  eventKind: 'clean-up',
  eventEndsAt: at,
  expectedBags: 12,
  untilDay: '2026-06-20',
  remarks: '',
} as const;
const stop = ({ stopIds }: World, i = 0) => stopIds[i]!;
const weighIn = (world: World, over: object = {}) =>
  recordWeighIn(world.context, {
    factId: 'w1',
    stopId: stop(world),
    at,
    bags: 3,
    foundFull: false,
    rejectedKg: 0,
    grades: [],
    note: '',
    recordedBy: actor,
    ...over,
  });
const surge = {
  eventKind: 'festival' as const,
  name: '',
  startsAt: at,
  endsAt: at + 3600,
  expectedBags: 5,
};
const announce = ({ context }: World) =>
  surges.announceSurge(context, { factId: 'surge', siteId: 's1', actor, ...surge });
const film = { factId: 'film', grade: 'ldpe-clear' as const, at, actor };
const request = ({ context }: World) =>
  requestExtraCollection(context, {
    factId: 'booking',
    siteId: 's1',
    eventKind: 'festival',
    eventEndsAt: at + 86_400,
    expectedBags: 5,
    fromAt: at + 86_400,
    untilAt: at + 2 * 86_400,
    remarks: '',
    hazards: '',
    requestedBy: actor,
  });
const quote = ({ context }: World) =>
  quoteExtraCollection(context, {
    siteId: 's1',
    eventKind: 'festival',
    eventEndsAt: at + 7_200,
    expectedBags: 5,
    fromAt: at + 7_200,
    untilAt: at + 3 * 86_400,
    remarks: '',
    hazards: '',
    askedBy: actor,
  });
const link = ({ context }: World) => {
  const made = access.createLink(context, { role: 'driver', subjectId: 'p1', actor });
  if (!made.ok) throw new Error('the driver is there');
  return made.value;
};
const van = { of: 'van', subjectId: 'v1' } as const;
const session = (world: World) => access.enter(world.context, 'driver', link(world).token)!;
const waiting = { reaction: 'tell-somebody', seq: 1, actor };
const wait = ({ store }: World) =>
  inTransaction(store, (tx) =>
    saveWaiting(tx, { ...waiting, subject: 'a', attempts: 12, nextAt: null, error: 'no' } as never),
  );
const wordTo = ({ store, context }: World) =>
  inTransaction(store, (tx) => {
    choiceOf(tx, 'ada@shop.example', at, () => 'token');
    queueWord(tx, {
      id: 'word',
      recipient: 'ada@shop.example',
      person: 'donor:d1',
      template: 'booking-cancelled',
      facts: { siteId: 's1', bookingId: 'b', fromAt: 1, untilAt: 2 },
      createdAt: at,
      notBeforeAt: context.now(),
      unsaid: null,
    });
  });
const hours = { vanId: 'v1', driverId: 'p1', startsMinute: 500, endsMinute: 900 };
const pin = ({ context, second }: World) => {
  const { siteId } = second.stops.find(({ kind }) => kind === 'site')!;
  const kept = keepChanges(context, {
    factId: 'pinned',
    planId: 'plan1',
    changes: [{ kind: 'pin', siteId: siteId!, day: second.day }],
    breaksPromises: true,
    actor,
  });
  if (!kept.ok) throw new Error(kept.refusal.kind);
};
const options = { dryRun: false, actor };
let kept: unknown;

const SCENARIOS: { readonly [name: string]: Scenario } = {
  createLink: { act: link },
  revokeLink: {
    before: (world) => {
      kept = link(world).hash;
    },
    act: ({ context }) => access.revokeLink(context, { hash: kept as string, actor }),
  },
  createCalendarLink: { act: ({ context }) => calendars.createCalendarLink(context, { ...van, actor }) },
  withdrawCalendarLinks: {
    before: ({ context }) => calendars.createCalendarLink(context, { ...van, actor }),
    act: ({ context }) => calendars.withdrawCalendarLinks(context, { ...van, actor }),
  },
  enter: {
    before: (world) => {
      kept = link(world).token;
    },
    act: ({ context }) => access.enter(context, 'driver', kept as string),
  },
  leave: {
    before: (world) => {
      kept = session(world).token;
    },
    act: ({ context }) => access.leave(context, kept as string),
  },
  announceSurge: { act: announce },
  changeSurge: {
    before: announce,
    act: ({ context }) => surges.changeSurge(context, { ...surge, surgeId: 'surge', expectedBags: 9, actor }),
  },
  callOffSurge: {
    before: announce,
    act: ({ context }) => surges.callOffSurge(context, { surgeId: 'surge', actor }),
  },
  moveSite: {
    act: ({ context }) => {
      const { lat, lon } = getSite(context.store, 's1')!;
      return moveSite(context, { siteId: 's1', from: { lat, lon }, to: { lat: lat + 0.001, lon }, actor });
    },
  },
  changeProductionDay: {
    act: ({ context }) =>
      changeProductionDay(context, { productId: 'k1', day: '2026-06-17', units: 3, actor }),
  },
  confirmWeighIn: {
    before: weighIn,
    act: ({ context }) => confirm.confirmWeighIn(context, { weighInId: 'w1', actor }),
  },
  doubtWeighInAgain: {
    before: (world) => {
      weighIn(world);
      confirm.confirmWeighIn(world.context, { weighInId: 'w1', actor });
    },
    act: ({ context }) => confirm.doubtWeighInAgain(context, { weighInId: 'w1', actor }),
  },
  correctStock: {
    act: ({ context }) => correctStock(context, { ...film, found: { countedKg: 4 }, reason: 'counted' }),
  },
  receiveFilm: { act: ({ context }) => receiveFilm(context, { ...film, kind: 'delivery', kg: 3, note: '' }) },
  keepFit: {
    act: ({ context }) =>
      keepFit(
        context,
        { parameters: START_PARAMETERS, weekdays: { byKind: {}, bySite: {} }, pickups: 9 },
        actor,
      ),
  },
  noteFailedFit: { act: ({ context }) => noteFailedFit(context, 'no', actor) },
  importTable: { act: ({ context }) => importTable(context, 'vans', 'geo-fixtures/vans.csv', options) },
  importRows: {
    act: ({ context }) =>
      importRows(
        context,
        'drivers',
        [{ line: 2, cells: { key: 'new', name: 'New', cost_per_hour: '20' } }] as never,
        options,
      ),
  },
  keepWorkshop: { act: ({ context }) => importWorkshop(context, 'geo-fixtures/workshop.json', options) },
  markRound: {
    act: ({ context, first }) =>
      markRound(context, { factId: 'm', roundId: first.id, mark: 'started', at, recordedBy: actor }),
  },
  planWeek: {
    act: ({ context }) => planWeek(context, planInPlace, { seed: 1, iterations: 5, days: 1, actor }),
  },
  publishPlan: {
    before: ({ store, context }) =>
      inTransaction(store, (tx) =>
        savePlan(tx, { id: 'next', plan: aPlanOnItsDays(), inputHash: 'x', createdAt: at }, context.newId),
      ),
    act: ({ context }) => publishPlan(context, { planId: 'next', actor }),
  },
  tryReactionAgain: { before: wait, act: ({ context }) => tryReactionAgain(context, waiting) },
  setReactionAside: { before: wait, act: ({ context }) => setReactionAside(context, waiting) },
  recordMissedStop: {
    act: (world) =>
      recordMissedStop(world.context, {
        factId: 'missed',
        stopId: stop(world),
        at,
        reason: 'closed',
        note: '',
        recordedBy: actor,
      }),
  },
  recordWeighIn: { act: weighIn },
  reportDriverAway: {
    act: ({ context }) => reportDriverAway(context, { shiftId: 'h2', reason: 'ill', actor }),
  },
  reportDriverBack: {
    before: ({ context }) => reportDriverAway(context, { shiftId: 'h2', reason: 'ill', actor }),
    act: ({ context }) => reportDriverBack(context, { shiftId: 'h2', actor }),
  },
  keepVan: {
    act: ({ context }) =>
      keepVan(context, {
        facts: { name: 'Lark', payloadKg: 600, loadSpaceL: 5000, costMicrosPerKm: 1, checkDueDay: null },
        actor,
      }),
  },
  keepDriver: {
    act: ({ context }) =>
      keepDriver(context, { facts: { name: 'Bo', email: '', costMicrosPerHour: 1 }, actor }),
  },
  arrangeShifts: {
    act: ({ context }) =>
      arrangeShifts(context, { factId: 'f', days: ['2026-07-01', '2026-07-02'], ...hours, actor }),
  },
  changeShift: {
    act: ({ context }) => changeShift(context, { shiftId: 'h2', ...hours, actor }),
  },
  reportFull: {
    act: ({ context }) =>
      reportFull(context, { factId: 'full', siteId: 's1', at, fraction: 1, reportedBy: actor }),
  },
  requestPlace: { act: ({ context }) => places.requestPlace(context, PLACE) },
  answerPlaceRequest: {
    before: ({ context }) => places.requestPlace(context, PLACE),
    act: ({ context }) => places.answerPlaceRequest(context, { requestId: PLACE.factId, actor }),
  },
  pauseSite: { act: ({ context }) => own.pauseSite(context, { siteId: 's1', actor, ...AWAY }) },
  resumeSite: {
    before: ({ context }) => own.pauseSite(context, { siteId: 's1', actor, ...AWAY }),
    act: ({ context }) => own.resumeSite(context, { siteId: 's1', actor, ...AWAY }),
  },
  changeContact: {
    act: ({ context }) =>
      own.changeContact(context, {
        siteId: 's1',
        actor,
        accessNotes: 'Ring twice.',
        contact: { name: 'Ina', phone: '', email: '' },
      }),
  },
  requestExtraCollection: { act: request },
  confirmExtraCollection: {
    before: (world) => {
      const quoted = quote(world);
      if (!quoted.ok) throw new Error(quoted.refusal.kind);
      kept = quoted.value.quote;
    },
    act: ({ context }) => {
      const { id, slots } = kept as Quote;
      const slotFromAt = slots[0]!.fromAt;
      return confirmExtraCollection(context, { factId: 'taken-0001', quoteId: id, slotFromAt, actor });
    },
  },
  dropDraft: {
    before: ({ context, store }) =>
      inTransaction(store, (tx) =>
        savePlan(tx, { id: 'next', plan: aPlanOnItsDays(), inputHash: 'x', createdAt: at }, context.newId),
      ),
    act: ({ context }) => dropDraft(context, { planId: 'next', actor }),
  },
  keepChanges: { act: pin },
  takeBackChange: {
    before: pin,
    act: ({ context }) => takeBackChange(context, { planId: 'pinned', actor }),
  },
  cancelBooking: {
    before: (world) => {
      const made = request(world);
      kept = made.ok && made.value.bookingId;
    },
    act: ({ context }) => cancelBooking(context, { bookingId: kept as string, actor }),
  },
  takeVanOffRoad: {
    act: ({ context }) => takeVanOffRoad(context, { vanId: 'v1', fromAt: at, reason: 'clutch', actor }),
  },
  putVanBack: {
    before: ({ context }) => takeVanOffRoad(context, { vanId: 'v1', fromAt: at, reason: 'clutch', actor }),
    act: ({ context }) => putVanBack(context, { vanId: 'v1', actor }),
  },
  tryMailAgain: {
    before: (world) => {
      wordTo(world);
      const mail = takeMail(world.context)!;
      noteNotSent(world.context, { ...mail, attempts: 99 }, new Error('no'));
      kept = mail.mailId;
    },
    act: ({ context }) => tryMailAgain(context, { mailId: kept as string, actor }),
  },
  chooseWord: {
    before: wordTo,
    act: ({ context }) =>
      chooseWord(context, { token: 'tokentoken', choice: 'none', remindDayBefore: false }),
  },
  changeTemplate: {
    act: ({ context }) =>
      changeTemplate(context, { template: 'exception', text: { subject: 'a', body: 'b' }, actor }),
  },
  changeObjective: {
    act: ({ context }) => changeObjective(context, { values: { horizonDays: 9 }, actor }),
  },
  endWorthRun: {
    act: ({ context }) =>
      endWorthRun(context, {
        ...newWorthRun(context, { wanted: someWanted(), actor }),
        years: driveYears({ ...someWanted(1), policies: ['fixed'] }),
        outcome: 'stopped',
      }),
  },
  weighLoad: {
    before: weighIn,
    act: ({ context, first }) =>
      weighLoad(context, { factId: 'load', roundId: first.id, at, netKg: 11, recordedBy: actor }),
  },
};

/** Exported functions under src/usecases that open a transaction themselves. */
async function writers(): Promise<string[]> {
  const files = readdirSync('src/usecases', { recursive: true, encoding: 'utf8' })
    .map((name) => join('src/usecases', name))
    .filter((file) => file.endsWith('.ts') && /in(Long)?Transaction\(/.test(readFileSync(file, 'utf8')));
  const found: string[] = [];
  for (const file of files) {
    const module: Record<string, unknown> = await import(pathToFileURL(file).href);
    for (const [name, value] of Object.entries(module))
      if (typeof value === 'function' && /in(Long)?Transaction\b/.test(String(value))) found.push(name);
  }
  return found;
}

/** All that is stored, but for the journal. */
const stored = ({ store }: World): string => {
  const tables = store.$client
    .prepare("SELECT name FROM sqlite_schema WHERE type = 'table' AND name NOT LIKE 'sqlite_%' ORDER BY name")
    .pluck()
    .all() as string[];
  return JSON.stringify(
    tables
      .filter((name) => name !== 'journal')
      .map((name) => [name, store.$client.prepare(`SELECT * FROM "${name}"`).raw().all()]),
  );
};

test('every use case that writes has a scenario, and every scenario a use case', async () => {
  const known = [...Object.keys(SCENARIOS), ...Object.keys(UNTOLD)];
  expect((await writers()).sort()).toEqual(known.sort());
});

describe.each(Object.entries(SCENARIOS))('%s', (name, { before, act }) => {
  const inWorld = async (run: (world: World) => Promise<void>): Promise<void> => {
    const world = publishedStore();
    try {
      await before?.(world);
      await run(world);
    } finally {
      closeStore(world.store);
    }
  };

  test('writes an entry with what it writes', () =>
    inWorld(async (world) => {
      const [seq, was] = [lastSeq(world.store), stored(world)];
      await act(world);
      expect(lastSeq(world.store)).toBeGreaterThan(seq);
      if (name !== 'noteFailedFit') expect(stored(world)).not.toBe(was);
    }));

  test('writes nothing where the entry cannot be written', () =>
    inWorld(async (world) => {
      world.store.$client.exec(
        "CREATE TRIGGER no_entries BEFORE INSERT ON journal BEGIN SELECT RAISE(ABORT, 'no entries'); END",
      );
      const was = stored(world);
      await expect((async () => act(world))()).rejects.toThrow(/no entries|journal/);
      expect(stored(world)).toBe(was);
    }));
});
