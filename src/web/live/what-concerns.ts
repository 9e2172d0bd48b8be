/**
 * Which entries of the journal are whose business on an open page, and in which words. A coordinator hears of
 * everything; a driver of what touches the rounds on the own run sheet; a donor of the own sites.
 */
import { localOf } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { Role } from '../../core/vocabulary.ts';
import type { Db } from '../../store/db.ts';
import type { Entry } from '../../store/journal.ts';
import type { EntryKind } from '../../store/journal-kinds.ts';
import { getPlan, type StoredRound } from '../../store/plans.ts';
import { listSitesOfDonor } from '../../store/sites.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import { driversWithOtherRounds, sitesWithOtherVisits } from '../../usecases/plan-differences.ts';
import { roundsAhead } from '../../usecases/running-rounds.ts';
import type { Say } from '../messages/say.ts';
import { time } from '../shared/format.ts';
import { entryWords } from '../shared/journal-words.ts';
import { type Names, readNames } from '../shared/names.ts';

export type Listener = { readonly role: Role; readonly subjectId: string; readonly say: Say };

/** One thing that happened, as an open page says it. */
export type Told = {
  readonly seq: number;
  readonly kind: string;
  /** What it is about: `site:abc`. */
  readonly subject: string;
  /** "10:42", in the workshop's zone. */
  readonly time: string;
  readonly text: string;
  /** Whether pages show anything else after it. */
  readonly isNews: boolean;
};

const kinds = (...names: EntryKind[]): ReadonlySet<string> => new Set(names);

const OF_A_DRIVER = kinds('driver-away', 'driver-back');
const OF_A_VAN = kinds('van-off-road', 'van-back');
/** Housekeeping: in the journal, but no page but the journal shows anything else after it. */
const ASIDE = kinds(
  'entered',
  'left',
  'link-made',
  'link-withdrawn',
  'calendar-link-made',
  'calendar-link-withdrawn',
  'estimator-fitted',
  'reaction-tried-again',
  'reaction-set-aside',
  'word-choice-changed',
  'word-template-changed',
  'word-tried-again',
);

/** Looks at how things stand for one listener, and gives what to say of an entry. */
export function whatConcerns(
  db: Db,
  { role, subjectId, say }: Listener,
  nowAt: Instant,
): (entry: Entry) => Told | undefined {
  const names = readNames(db);
  const textOf = TEXTS[role]({ db, subjectId, nowAt, names, say: say.live });
  return (entry) => {
    const text = textOf(entry);
    if (text === undefined) return undefined;
    const { seq, kind, subject, at } = entry;
    return { seq, kind, subject, time: time(at, names.zone), text, isNews: !ASIDE.has(kind) };
  };
}

type Standing = {
  readonly db: Db;
  readonly subjectId: string;
  readonly nowAt: Instant;
  readonly names: Names;
  readonly say: Say['live'];
};
type TextOf = (entry: Entry) => string | undefined;
const TEXTS: { readonly [role in Role]: (standing: Standing) => TextOf } = {
  coordinator:
    ({ names }) =>
    (entry) =>
      entryWords(entry, names),
  driver: ofDriver,
  donor: ofDonor,
};

function ofDriver({ db, subjectId: driverId, nowAt, names, say }: Standing): TextOf {
  let rounds: readonly StoredRound[] | undefined;
  const isOnRounds = (isThere: (round: StoredRound) => boolean): boolean => {
    rounds ??= roundsAhead(db, driverId, nowAt);
    return rounds.some(isThere);
  };
  return (entry) => {
    const { actor, kind, subject } = entry;
    // What somebody hands in is on the page that it was handed in from.
    if (actor === `driver:${driverId}`) return undefined;
    if (kind === 'plan-published')
      return publication(db, entry, (before, plan, today) =>
        driversWithOtherRounds(before, plan, today).has(driverId) ? say.rounds : undefined,
      );
    if (OF_A_DRIVER.has(kind)) return subject === `driver:${driverId}` ? say.away : undefined;
    if (OF_A_VAN.has(kind))
      return isOnRounds(({ vanId }) => subject === `van:${vanId}`)
        ? say.van(names.of('van', subject.slice('van:'.length)))
        : undefined;
    const said = saidOfSite(entry, names.of('site', subject.slice('site:'.length)), say);
    return said !== undefined && isOnRounds((round) => visits(round, subject)) ? said : undefined;
  };
}

/** What the people at a site and the driver who stops there may know of it; the rest is the workshop's own judgement. */
function saidOfSite({ kind, facts }: Entry, site: string, { told, partlyFull }: Say['live']) {
  if (!Object.hasOwn(told, kind)) return undefined;
  const isPartly =
    kind === 'container-reported-full' && (facts as { readonly fraction: number }).fraction < 1;
  return isPartly ? partlyFull(site) : told[kind as keyof typeof told](site);
}

const visits = ({ stops }: StoredRound, subject: string): boolean =>
  stops.some(({ siteId }) => siteId !== undefined && subject === `site:${siteId}`);

function ofDonor({ db, subjectId: donorId, say }: Standing): TextOf {
  const own = listSitesOfDonor(db, donorId);
  return (entry) => {
    if (entry.kind === 'plan-published')
      return publication(db, entry, (before, plan, today) => {
        const moved = sitesWithOtherVisits(before, plan, today);
        const where = own.filter(({ id }) => moved.has(id)).map(({ name }) => name);
        return where.length === 0 ? undefined : say.visits(where.join(', '));
      });
    const site = own.find(({ id }) => entry.subject === `site:${id}`);
    return site && saidOfSite(entry, site.name, say);
  };
}

type Plans = Parameters<typeof sitesWithOtherVisits>;

/** Of a published plan, what it changes for somebody. */
function publication(
  db: Db,
  { subject, facts, at }: Entry,
  say: (before: Plans[0], plan: Plans[1], today: Plans[2]) => string | undefined,
): string | undefined {
  const plan = getPlan(db, subject.slice('plan:'.length));
  if (!plan) return undefined;
  const { supersededId = null } = facts as { readonly supersededId?: string | null };
  const before = supersededId === null ? undefined : getPlan(db, supersededId);
  return say(before, plan, localOf(requireWorkshop(db).zone, at).day);
}
