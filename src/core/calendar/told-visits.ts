/**
 * From plan versions, as they were published, to one lasting entry a visit: what a calendar keeps. RFC 5545 wants
 * a UID that stays (3.8.4.7), a SEQUENCE that rises with each revision (3.8.7.4) and a word when it is called off
 * (STATUS, 3.8.1.11). Nothing of that is stored: the same versions always give the same entries.
 */
import type { Instant, LocalDay } from '../quantity/units.ts';

export type ToldVisit = {
  /** Of this version only; the first one a visit had names it for good. */
  readonly id: string;
  /** What is visited or driven again and again: a site, a shift. */
  readonly subject: string;
  readonly shiftId: string;
  /** From then on the round is on the road, and later versions do not touch it. */
  readonly leavesAt: Instant;
  readonly day: LocalDay;
  readonly fromAt: Instant;
  readonly untilAt: Instant;
  /** Whatever else a reader is told; another text is a revision as well. */
  readonly text: string;
};

export type ToldVersion = { readonly publishedAt: Instant; readonly visits: readonly ToldVisit[] };

export type VisitEntry = ToldVisit & {
  /** Stays, whatever becomes of the visit. */
  readonly name: string;
  /** 0 as first told, one more with each revision. */
  readonly sequence: number;
  readonly isCancelled: boolean;
  /** When the last revision was published. */
  readonly changedAt: Instant;
};

/**
 * One entry a visit, by start. A visit keeps its name when it moves within its day, or to another day when it is
 * the only one of its subject that has no partner: first by day, then in order of time. What is left over of the
 * old version is called off, what is left over of the new one is new.
 */
export function followVisits(versions: readonly ToldVersion[]): VisitEntry[] {
  let entries: VisitEntry[] = [];
  for (const version of versions.toSorted((a, b) => a.publishedAt - b.publishedAt))
    entries = revise(entries, version);
  return entries.toSorted((a, b) => a.fromAt - b.fromAt || (a.name < b.name ? -1 : 1));
}

function revise(entries: readonly VisitEntry[], { publishedAt, visits }: ToldVersion): VisitEntry[] {
  const isFixed = (entry: VisitEntry): boolean => entry.leavesAt <= publishedAt;
  const driven = new Set(entries.filter((e) => isFixed(e) && !e.isCancelled).map((e) => e.shiftId));
  const partners = pair(
    entries.filter((entry) => !isFixed(entry)),
    visits.filter((visit) => !driven.has(visit.shiftId)),
  );
  const revised = entries.map((entry): VisitEntry => {
    if (isFixed(entry)) return entry;
    const visit = partners.ofEntry.get(entry);
    if (visit) return differs(entry, visit) ? again(entry, { ...visit, isCancelled: false }) : entry;
    return entry.isCancelled ? entry : again(entry, { isCancelled: true });
  });
  function again(entry: VisitEntry, change: Partial<VisitEntry>): VisitEntry {
    return { ...entry, ...change, sequence: entry.sequence + 1, changedAt: publishedAt };
  }
  const fresh = partners.left.map(
    (visit): VisitEntry => ({
      ...visit,
      name: visit.id,
      sequence: 0,
      isCancelled: false,
      changedAt: publishedAt,
    }),
  );
  return [...revised, ...fresh];
}

const differs = (entry: VisitEntry, visit: ToldVisit): boolean =>
  entry.isCancelled ||
  entry.fromAt !== visit.fromAt ||
  entry.untilAt !== visit.untilAt ||
  entry.text !== visit.text;

function pair(entries: readonly VisitEntry[], visits: readonly ToldVisit[]) {
  const ofEntry = new Map<VisitEntry, ToldVisit>();
  const left = new Set(visits.toSorted((a, b) => a.fromAt - b.fromAt));
  const inOrder = entries.toSorted(
    (a, b) => Number(a.isCancelled) - Number(b.isCancelled) || a.fromAt - b.fromAt,
  );
  const match = (fits: (entry: VisitEntry, visit: ToldVisit) => boolean): void => {
    for (const entry of inOrder) {
      if (ofEntry.has(entry)) continue;
      for (const visit of left)
        if (entry.subject === visit.subject && fits(entry, visit)) {
          ofEntry.set(entry, visit);
          left.delete(visit);
          break;
        }
    }
  };
  match((entry, visit) => entry.day === visit.day);
  // Called off and taken up again on another day is a new visit.
  match((entry) => !entry.isCancelled);
  return { ofEntry, left: [...left] };
}
