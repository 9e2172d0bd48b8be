/** What a draft would change for those who were told another plan, and the requests that wait; read from the store. */
import { comparePlans, type Difference } from '../../core/planning/compare-plans.ts';
import type { UnkeptPromise } from '../../core/planning/plan.ts';
import type { Help } from '../../core/planning/quote-help.ts';
import type { Instant, LocalDay, Micros } from '../../core/quantity/units.ts';
import { listBookingsAhead } from '../../store/bookings.ts';
import type { Db } from '../../store/db.ts';
import { newestEntry } from '../../store/journal.ts';
import { readFacts } from '../../store/journal-kinds.ts';
import { listOpenPlaceRequests, type PlaceRequest } from '../../store/place-requests.ts';
import { getPlan, listPlans, publishedPlan } from '../../store/plans.ts';
import { getSite } from '../../store/sites.ts';
import { getSurge } from '../../store/surges.ts';
import { planToShow } from '../../usecases/plan-to-show.ts';
import { ask } from '../../usecases/quote-extra-collection.ts';
import { runningRounds } from '../../usecases/running-rounds.ts';
import { type Names, readNames } from '../shared/names.ts';

export type ChangesView = {
  readonly names: Names;
  readonly nowAt: Instant;
  readonly planId: string;
  readonly isDraft: boolean;
  /** Why it was made, in the words of the journal's facts; empty for a draft that a person asked for. */
  readonly dangers: readonly { readonly kind: string }[];
  readonly differences: readonly Difference[];
  readonly unkept: readonly UnkeptPromise[];
  readonly changedDays: number;
  /** Each on the facts of the moment it was made in. */
  readonly toldMicros: Micros;
  readonly draftMicros: Micros;
};

/** A draft beside the published plan; without an id the one made for the newest danger. Nothing where there is none. */
export function readChanges(db: Db, nowAt: Instant, planId?: string): ChangesView | undefined {
  const newest = newestDanger(db);
  const id = planId ?? newest?.draftId;
  const draft = id ? getPlan(db, id) : undefined;
  const told = publishedPlan(db);
  if (!draft || !told) return undefined;
  const gone = runningRounds(db, nowAt);
  const left = told.plan.rounds.filter((round) => !gone.has(round.shiftId));
  const { differences, changedDaySiteIds } = comparePlans({ ...told.plan, rounds: left }, draft.plan);
  return {
    names: readNames(db),
    nowAt,
    planId: draft.id,
    isDraft: draft.state === 'draft',
    dangers: newest && newest.draftId === draft.id ? newest.dangers : [],
    differences,
    unkept: draft.plan.unkept,
    changedDays: changedDaySiteIds.length,
    toldMicros: told.plan.costMicros,
    draftMicros: draft.plan.costMicros,
  };
}

export type RequestView = {
  readonly bookingId: string;
  readonly siteId: string;
  readonly fromAt: Instant;
  readonly untilAt: Instant;
  readonly expectedBags: number;
  readonly remarks: string;
  /** Whom to call. */
  readonly contact?: { readonly name: string; readonly phone: string } | undefined;
  /** The first day that is possible by now, if one is. */
  readonly possibleDay?: LocalDay | undefined;
  readonly helps: readonly Help[];
};
export type RequestsView = {
  readonly names: Names;
  readonly nowAt: Instant;
  readonly requests: readonly RequestView[];
  /** Of people who are no donors yet. */
  readonly places: readonly PlaceRequest[];
};

/** Requests without a day, the first window first, each with what would make it possible. */
export function readRequests(db: Db, nowAt: Instant): RequestsView {
  return {
    names: readNames(db),
    nowAt,
    places: listOpenPlaceRequests(db),
    requests: listBookingsAhead(db, ['waiting'], nowAt).map((booking) => {
      const { id, siteId, fromAt, untilAt, remarks, hazards } = booking;
      const surge = booking.surgeId === null ? undefined : getSurge(db, booking.surgeId);
      const site = getSite(db, siteId)!;
      const expectedBags = surge?.expectedBags ?? 0;
      const facts = {
        siteId,
        eventKind: surge?.eventKind ?? ('other' as const),
        eventEndsAt: surge?.endsAt ?? fromAt,
        expectedBags,
        fromAt,
        untilAt,
        remarks,
        hazards,
      };
      // It is asked for anew: what it announced already counts only once.
      const asked = ask(db, nowAt, site, facts, booking);
      const possibleDay = asked.offers()[0]?.slot.day;
      const found = possibleDay === undefined ? { helps: asked.helps() } : { possibleDay, helps: [] };
      const contact = site.contacts.find(({ phone }) => phone !== '');
      return { bookingId: id, siteId, fromAt, untilAt, expectedBags, remarks, contact, ...found };
    }),
  };
}

export type NewsView = {
  readonly waiting: number;
  readonly draftId?: string;
  /** A draft changed by hand that is not on show, because another was made after it. */
  readonly setAside?: { readonly draftId: string; readonly shownId: string };
};

/** For the week sheet: how many requests wait, and whether a mended draft does. */
export function readNews(db: Db, nowAt: Instant): NewsView {
  const draftId = newestDanger(db)?.draftId;
  const isWaiting = draftId && getPlan(db, draftId)?.state === 'draft';
  const setAside = handDraftSetAside(db);
  return {
    waiting: listBookingsAhead(db, ['waiting'], nowAt).length + listOpenPlaceRequests(db).length,
    ...(isWaiting ? { draftId } : {}),
    ...(setAside ? { setAside } : {}),
  };
}

/** Of the drafts made since the publication, the newest changed by hand that the plan on show does not rest on. */
function handDraftSetAside(db: Db): NewsView['setAside'] {
  const shown = planToShow(db);
  if (!shown) return undefined;
  const drafts = listPlans(db, 'draft').filter(
    ({ createdAt }) => createdAt >= (publishedPlan(db)?.publishedAt ?? 0),
  );
  const underIt = new Set<string>();
  for (
    let id: string | null = shown.id;
    id !== null;
    id = drafts.find((one) => one.id === id)?.baseId ?? null
  )
    underIt.add(id);
  const draft = drafts.find(({ id, baseId }) => baseId !== null && !underIt.has(id));
  return draft && { draftId: draft.id, shownId: shown.id };
}

/** The facts of the newest danger that was found, and the plan that is in it. */
export function newestDanger(db: Db) {
  const entry = newestEntry(db, 'plan-in-danger');
  const facts = entry && readFacts('plan-in-danger', entry.facts);
  return facts && { ...facts, planId: entry.subject.replace(/^plan:/, '') };
}
