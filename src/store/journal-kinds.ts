/**
 * Every kind of thing that the journal tells of, and the facts that belong to it. A new kind is a row here, and its
 * sentence a row in `web/shared/journal-words.ts`; an entry of another shape does not compile, and is not written.
 *
 * Rows are never changed in a way that older entries would not fit: the journal is kept for ever.
 */
import { z } from 'zod';
import { EVENT_KINDS, GRADES, MISSED_REASONS, WORD_CHOICES, WORTH_OUTCOMES } from '../core/vocabulary.ts';

const Id = z.string().min(1);
const At = z.int();
const Day = z.string();
const Kg = z.number();
const Text = z.string();
const facts = z.strictObject;

const WeighedFacts = { weighInId: Id, netKg: Kg.nullable(), bags: z.number().nullable() };
const SurgeFacts = {
  surgeId: Id,
  eventKind: z.enum(EVENT_KINDS),
  startsAt: At,
  endsAt: At,
  expectedBags: z.number(),
};
const BookingFacts = { bookingId: Id, fromAt: At, untilAt: At, expectedBags: z.number() };
const StockFacts = { movementId: Id, grade: z.enum(GRADES), kg: Kg, day: Day, note: Text };
const MarkFacts = { markId: Id, driverId: Id };
const ShiftFacts = { shiftId: Id, vanId: Id, day: Day, startsMinute: z.int(), endsMinute: z.int() };
/** As in core/planning/changes.ts. */
const ChangeFacts = z.discriminatedUnion('kind', [
  facts({ kind: z.enum(['skip', 'pin', 'unpin']), siteId: Id, day: Day }),
  facts({
    kind: z.literal('add'),
    siteId: Id,
    day: Day,
    shiftId: Id.optional(),
    position: z.int().optional(),
  }),
  facts({
    kind: z.literal('move'),
    siteId: Id,
    day: Day,
    toDay: Day.optional(),
    shiftId: Id.optional(),
    position: z.int().optional(),
  }),
  facts({ kind: z.literal('swap-drivers'), shiftId: Id, withShiftId: Id }),
]);
const ReactionFacts = { reaction: Id, seq: z.int() };

export const ENTRY_KINDS = {
  // site:…
  'site-registered': facts({ name: Text }),
  'site-changed': facts({ columns: z.array(Text) }),
  'site-moved': facts({
    lat: z.number(),
    lon: z.number(),
    latBefore: z.number(),
    lonBefore: z.number(),
    movedM: z.int(),
  }),
  'weigh-in-recorded': facts({ ...WeighedFacts, stopId: Id.nullable() }),
  'weigh-in-corrected': facts({ ...WeighedFacts, stopId: Id.nullable(), replacesId: Id }),
  'weigh-in-moved-away': facts({ weighInId: Id, toSiteId: Id, correctedById: Id }),
  'weigh-in-confirmed': facts(WeighedFacts),
  'weigh-in-confirmation-taken-back': facts(WeighedFacts),
  'stop-missed': facts({ missedId: Id, stopId: Id, reason: z.enum(MISSED_REASONS) }),
  'container-reported-full': facts({ reportId: Id, fraction: z.number() }),
  'surge-announced': facts(SurgeFacts),
  'surge-changed': facts(SurgeFacts),
  'surge-cancelled': facts({ surgeId: Id }),
  'extra-collection-requested': facts(BookingFacts),
  'extra-collection-confirmed': facts(BookingFacts),
  'extra-collection-changed': facts(BookingFacts),
  'extra-collection-cancelled': facts({ bookingId: Id }),
  'site-paused': facts({ fromDay: Day, untilDay: Day }),
  'site-resumed': facts({ fromDay: Day, untilDay: Day }),
  'site-contact-changed': facts({ accessNotes: Text }),
  // plan:…, round:…, van:…, driver:…
  'plan-drafted': facts({ firstDay: Day, days: z.int(), rounds: z.int(), costMicros: z.int() }),
  'plan-changed': facts({
    baseId: Id,
    changes: z.array(ChangeFacts),
    costMicros: z.int(),
    costBeforeMicros: z.int(),
  }),
  'plan-change-taken-back': facts({ baseId: Id }),
  'plan-published': facts({ supersededId: Id.nullable() }),
  'plan-dropped': facts({}),
  'plan-in-danger': facts({
    causeSeq: z.int(),
    dangers: z.array(z.looseObject({ kind: Text })),
    draftId: Id.nullable(),
    isPublished: z.boolean(),
  }),
  'round-started': facts(MarkFacts),
  'round-paused': facts(MarkFacts),
  'round-resumed': facts(MarkFacts),
  'round-finished': facts({ ...MarkFacts, openStopIds: z.array(Id) }),
  'load-weighed': facts({ loadWeighInId: Id, netKg: Kg, weighInIds: z.array(Id) }),
  'van-off-road': facts({ fromAt: At, roundId: Id.nullable(), reason: Text }),
  'van-back': facts({}),
  'driver-away': facts({ shiftId: Id, day: Day, reason: Text }),
  'driver-back': facts({ shiftId: Id, day: Day }),
  'van-kept': facts({
    isNew: z.boolean(),
    name: Text,
    payloadKg: Kg,
    loadSpaceL: z.number(),
    costMicrosPerKm: z.int(),
    checkDueDay: Day.nullable(),
  }),
  'driver-kept': facts({ isNew: z.boolean(), name: Text, costMicrosPerHour: z.int() }),
  'shift-arranged': facts(ShiftFacts),
  'shift-changed': facts({ ...ShiftFacts, insteadOfId: Id }),
  'driver-changed': facts({ shiftId: Id, day: Day, fromDriverId: Id }),
  // product:…, grade:…
  'production-day-changed': facts({ day: Day, units: z.int(), unitsBefore: z.int() }),
  'production-day-pressed': facts({
    day: Day,
    units: z.int(),
    unitsPlanned: z.int(),
    usedKg: Kg,
    offCutsKg: Kg,
  }),
  'stock-corrected': facts(StockFacts),
  'film-delivered': facts(StockFacts),
  'take-back-received': facts(StockFacts),
  // place:…
  'place-requested': facts({ requestId: Id, expectedBags: z.number(), untilDay: Day }),
  'place-request-answered': facts({ requestId: Id }),
  // workshop:workshop, table:…
  'workshop-imported': facts({ name: Text }),
  'table-imported': facts({ added: z.int(), changed: z.int(), unchanged: z.int(), rows: z.int() }),
  'demo-started': facts({ realAt: At }),
  'estimator-fitted': z.looseObject({ pickups: z.int() }),
  'estimator-fit-failed': facts({ message: Text }),
  'objective-changed': facts({
    changed: z.array(facts({ key: Text, from: z.number(), to: z.number() })),
  }),
  // worth-run:…
  'worth-run-ended': facts({
    outcome: z.enum(WORTH_OUTCOMES),
    worlds: z.int(),
    wanted: z.int(),
    message: Text.optional(),
  }),
  // coordinator:…, driver:…, donor:…
  'link-made': facts({ hash: Id }),
  'link-withdrawn': facts({ ended: z.int() }),
  'calendar-link-made': facts({ hash: Id }),
  'calendar-link-withdrawn': facts({ ended: z.int() }),
  entered: facts({}),
  left: facts({}),
  // reaction:…, address:…, template:…
  'reaction-parked': facts({ ...ReactionFacts, error: Text }),
  'reaction-tried-again': facts(ReactionFacts),
  'reaction-set-aside': facts(ReactionFacts),
  'word-choice-changed': facts({ choice: z.enum(WORD_CHOICES), remindDayBefore: z.boolean() }),
  'word-template-changed': facts({ isOwn: z.boolean() }),
  'word-parked': facts({ mailId: Id, error: Text }),
  'word-tried-again': facts({ mailId: Id }),
} as const satisfies { readonly [kind: string]: z.ZodType };

export type EntryKind = keyof typeof ENTRY_KINDS;
export type FactsOf<K extends EntryKind> = z.output<(typeof ENTRY_KINDS)[K]>;

export const isEntryKind = (kind: string): kind is EntryKind => Object.hasOwn(ENTRY_KINDS, kind);

/** The facts of a stored entry; nothing where a newer or much older program wrote something else. */
export function readFacts<K extends EntryKind>(kind: K, stored: unknown): FactsOf<K> | undefined {
  const parsed = ENTRY_KINDS[kind].safeParse(stored);
  return parsed.success ? (parsed.data as FactsOf<K>) : undefined;
}
