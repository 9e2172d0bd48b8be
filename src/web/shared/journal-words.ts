/** What the journal tells, as sentences: one row a kind, so that a kind without words does not compile. */
import { clock } from '../../core/calendar/zone.ts';
import type { Entry } from '../../store/journal.ts';
import { type EntryKind, type FactsOf, isEntryKind, readFacts } from '../../store/journal-kinds.ts';
import { changeWords } from './change-words.ts';
import { dangersWords } from './danger-words.ts';
import { dateTime, dayShort, dayYearShort, distance, kg, litres, money, number, percent } from './format.ts';
import type { NamedKind, Names } from './names.ts';
import { EVENT_WORDS, gradeName, MISSED_WORDS } from './words.ts';

/** What a sentence may ask: names, and the part of the subject behind the colon. */
type Say = {
  readonly names: Names;
  readonly id: string;
  /** The subject's own name. */
  readonly name: string;
};
type Sentence<K extends EntryKind> = (facts: FactsOf<K>, say: Say) => string;

/** To a tenth: what people weighed and typed is not rounded away. */
const exactKg = (value: number): string => `${number(value, value % 1 === 0 ? 0 : 1)} kg`;
const counted = (count: number, one: string, many = `${one}s`): string =>
  `${number(count)} ${count === 1 ? one : many}`;
const because = (reason: string): string => (reason === '' ? '' : `: ${reason}`);
const amount = ({ netKg, bags }: { readonly netKg: number | null; readonly bags: number | null }): string =>
  netKg !== null ? kg(netKg) : bags !== null ? counted(bags, 'bag') : 'found full';
const span = (fromAt: number, untilAt: number, zone: string): string =>
  `${dateTime(fromAt, zone)} to ${dateTime(untilAt, zone)}`;

const changeCost = (micros: number, currency: string): string =>
  `It ${micros < 0 ? 'saves' : 'costs'} ${money(Math.abs(micros), currency)}${micros < 0 ? '' : ' more'}.`;

const surgeWords: Sentence<'surge-announced'> = (f, { names }) =>
  `${counted(f.expectedBags, 'bag')} (${EVENT_WORDS[f.eventKind]}, ends ${dateTime(f.endsAt, names.zone)})`;
const windowWords = (
  { fromAt, untilAt }: { readonly fromAt: number; readonly untilAt: number },
  { names }: Say,
): string => span(fromAt, untilAt, names.zone);

const shiftWords = (f: FactsOf<'shift-arranged'>, { names }: Say): string =>
  `${dayShort(f.day)}, ${clock(f.startsMinute)}\u2013${clock(f.endsMinute)}, ${names.of('van', f.vanId)}`;

/** The page of the draft has them all. */
const FEW = 2;
function fewDangers(dangers: FactsOf<'plan-in-danger'>['dangers'], names: Names): string {
  const more = dangers.length - FEW;
  const few = dangersWords(more > 1 ? dangers.slice(0, FEW) : dangers, names);
  return more > 1 ? `${few} ${number(more)} dangers more.` : few;
}

const SENTENCES: { readonly [K in EntryKind]: Sentence<K> } = {
  'site-registered': (f) => `${f.name} was registered as a new site.`,
  'site-changed': (f, { name }) =>
    `${name}: the register was changed (${f.columns.map((column) => column.replaceAll('_', ' ')).join(', ')}).`,
  'site-moved': (f, { name }) => `${name}: its position was corrected by ${distance(f.movedM)}.`,
  'weigh-in-recorded': (f, { name }) => `${name}: collected, ${amount(f)}.`,
  'weigh-in-corrected': (f, { name }) => `${name}: a weigh-in was corrected to ${amount(f)}.`,
  'weigh-in-moved-away': (f, { name, names }) =>
    `${name}: a weigh-in was moved to ${names.of('site', f.toSiteId)}.`,
  'weigh-in-confirmed': (f, { name }) => `${name}: an odd weigh-in (${amount(f)}) was confirmed.`,
  'weigh-in-confirmation-taken-back': (f, { name }) =>
    `${name}: the confirmation of a weigh-in (${amount(f)}) was taken back.`,
  'stop-missed': (f, { name }) =>
    f.reason === 'van-full'
      ? `${name}: passed by, the van was full.`
      : `${name}: not collected (${MISSED_WORDS[f.reason]}).`,
  'container-reported-full': (f, { name }) =>
    f.fraction >= 1 ? `${name}: reported full.` : `${name}: reported ${percent(f.fraction)} full.`,
  'surge-announced': (f, say) => `${say.name}: expects ${surgeWords(f, say)}.`,
  'surge-changed': (f, say) => `${say.name}: now expects ${surgeWords(f, say)}.`,
  'surge-cancelled': (_, { name }) => `${name}: what an event was to bring was called off.`,
  'extra-collection-requested': (f, say) =>
    `${say.name}: asked for an extra collection, ${windowWords(f, say)}, ${counted(f.expectedBags, 'bag')}.`,
  'extra-collection-confirmed': (f, say) =>
    `${say.name}: an extra collection was confirmed, ${windowWords(f, say)}.`,
  'extra-collection-changed': (f, say) =>
    `${say.name}: an extra collection was changed to ${windowWords(f, say)}.`,
  'extra-collection-cancelled': (_, { name }) => `${name}: an extra collection was cancelled.`,
  'site-paused': (f, { name }) =>
    `${name}: closed ${dayShort(f.fromDay)} to ${dayShort(f.untilDay)}, says the donor.`,
  'site-resumed': (f, { name }) =>
    `${name}: not closed ${dayShort(f.fromDay)} to ${dayShort(f.untilDay)} after all.`,
  'site-contact-changed': (f, { name }) =>
    `${name}: the donor changed contact or access${f.accessNotes === '' ? '' : `: ${f.accessNotes}`}.`,
  'place-requested': (f) =>
    `Somebody new asked for a collection: ${counted(f.expectedBags, 'bag')}, until ${dayShort(f.untilDay)}. See the requests.`,
  'place-request-answered': () => 'A request of somebody new was answered.',
  'plan-drafted': (f, { names }) =>
    `A plan was drafted: ${counted(f.days, 'day')} from ${dayShort(f.firstDay)}, ${counted(f.rounds, 'round')}, ${money(f.costMicros, names.currency)}.`,
  'plan-changed': (f, { names }) =>
    `A plan was changed by hand: ${f.changes.map((change) => changeWords(change, names)).join('; ')}. ${changeCost(f.costMicros - f.costBeforeMicros, names.currency)}`,
  'plan-change-taken-back': () => 'The last change by hand was taken back.',
  'plan-published': (f) =>
    f.supersededId === null ? 'A plan was published.' : 'A plan was published in place of the one before.',
  'plan-dropped': () => 'A draft was dropped.',
  'plan-in-danger': (f, { names }) =>
    `${fewDangers(f.dangers, names)} ${f.isPublished ? 'A small change was published.' : f.draftId === null ? 'No plan mends it: somebody has to decide.' : 'A draft that mends it waits for the coordinator.'}`,
  'round-started': (f, { names }) => `${names.of('driver', f.driverId)} left on the round.`,
  'round-paused': (f, { names }) => `${names.of('driver', f.driverId)} paused the round.`,
  'round-resumed': (f, { names }) => `${names.of('driver', f.driverId)} went on with the round.`,
  'round-finished': (f, { names }) =>
    f.openStopIds.length === 0
      ? `${names.of('driver', f.driverId)} finished the round.`
      : `${names.of('driver', f.driverId)} finished the round with ${counted(f.openStopIds.length, 'stop')} not handed in.`,
  'load-weighed': (f) =>
    `A load was weighed at unloading: ${kg(f.netKg)}, shared over ${counted(f.weighInIds.length, 'stop')}.`,
  'van-off-road': (f, { name, names }) =>
    `${name}: off the road from ${dateTime(f.fromAt, names.zone)}${f.roundId === null ? '' : ', in the middle of its round'}${because(f.reason)}.`,
  'van-back': (_, { name }) => `${name}: on the road again.`,
  'driver-away': (f, { name }) => `${name}: away on ${dayShort(f.day)}${because(f.reason)}.`,
  'driver-back': (f, { name }) => `${name}: drives on ${dayShort(f.day)} after all.`,
  'van-kept': (f, { names }) =>
    `${f.name}: ${f.isNew ? 'a van came into the register' : 'the van was described anew'}, ${kg(f.payloadKg)} and ${litres(f.loadSpaceL)}, ${money(f.costMicrosPerKm, names.currency)} a km${f.checkDueDay === null ? '' : `, check due ${dayYearShort(f.checkDueDay)}`}.`,
  'driver-kept': (f, { names }) =>
    `${f.name}: ${f.isNew ? 'a driver came into the register' : 'the driver was described anew'}, ${money(f.costMicrosPerHour, names.currency)} an hour.`,
  'shift-arranged': (f, say) => `${say.name}: a shift on ${shiftWords(f, say)}.`,
  'shift-changed': (f, say) => `${say.name}: a shift was changed to ${shiftWords(f, say)}.`,
  'driver-changed': (f, { name, names }) =>
    `${name}: drives ${names.of('shift', f.shiftId)} instead of ${names.of('driver', f.fromDriverId)}.`,
  'production-day-changed': (f, { name }) =>
    `${name}: ${counted(f.units, 'unit')} on ${dayShort(f.day)} instead of ${number(f.unitsBefore)}.`,
  'production-day-pressed': (f, { name }) =>
    `${name}: ${counted(f.units, 'unit')} pressed on ${dayShort(f.day)}, ${number(f.unitsPlanned)} planned; ${kg(f.usedKg)} of film used, ${kg(f.offCutsKg)} of off-cuts came back.`,
  'stock-corrected': (f) =>
    `Stock of ${gradeName(f.grade)} was corrected by ${f.kg > 0 ? '+' : ''}${exactKg(f.kg)}${because(f.note)}.`,
  'film-delivered': (f) =>
    `${exactKg(f.kg)} of ${gradeName(f.grade)} was brought to the door${because(f.note)}.`,
  'take-back-received': (f) =>
    `${exactKg(f.kg)} of ${gradeName(f.grade)} came home as take-back${because(f.note)}.`,
  'workshop-imported': (f) => `The workshop ${f.name} was imported.`,
  'table-imported': (f, { id }) =>
    `The table ${id} was imported: ${number(f.added)} added, ${number(f.changed)} changed.`,
  'demo-started': () => 'The demo was made.',
  'estimator-fitted': (f) => `The estimates were fitted to ${counted(f.pickups, 'pickup')}.`,
  'estimator-fit-failed': (f) => `Fitting the estimates failed: ${f.message}`,
  'objective-changed': (f) => `${capital(counted(f.changed.length, 'setting'))} of the planner changed.`,
  'worth-run-ended': (f) =>
    `Simulated years ${f.outcome === 'done' ? 'were done' : f.outcome === 'stopped' ? 'were stopped' : 'failed'}: ${f.worlds} of ${counted(f.wanted, 'world')}${because(f.message ?? '')}.`,
  'link-made': (_, { name }) => `A private link was made for ${name}.`,
  'link-withdrawn': (_, { name }) => `A private link of ${name} was withdrawn.`,
  'calendar-link-made': (_, { name }) => `A calendar address was made for ${name}.`,
  'calendar-link-withdrawn': (_, { name }) => `The calendar address of ${name} was withdrawn.`,
  entered: (_, { name }) => `${name} came in.`,
  left: (_, { name }) => `${name} left.`,
  'reaction-parked': (f) =>
    `What follows from entry ${f.seq} (${plainName(f.reaction)}) was given up: ${f.error}`,
  'reaction-tried-again': (f) =>
    `What follows from entry ${f.seq} (${plainName(f.reaction)}) is tried again.`,
  'reaction-set-aside': (f) => `What follows from entry ${f.seq} (${plainName(f.reaction)}) was set aside.`,
  'word-choice-changed': (f, { id }) =>
    `${id} wants ${f.choice === 'none' ? 'no mail' : f.choice === 'each' ? 'every word at once' : 'one mail a day'}${f.choice !== 'none' && f.remindDayBefore ? ', and reminders' : ''}.`,
  'word-template-changed': (f, { id }) =>
    f.isOwn
      ? `The text of “${plainName(id)}” was changed.`
      : `The text of “${plainName(id)}” is as it came again.`,
  'word-parked': (f) => `A mail could not be sent and was given up: ${f.error}`,
  'word-tried-again': () => 'A mail that could not be sent is tried again.',
};

export const capital = (text: string): string => text.slice(0, 1).toUpperCase() + text.slice(1);

/** "tell-donor-when-stop-is-missed" as words. */
export const plainName = (name: string): string => name.replaceAll('-', ' ');

const NAMED: readonly string[] = ['site', 'van', 'driver', 'product', 'donor'] satisfies NamedKind[];

/** What an entry tells; of a kind or facts that this program does not know, that much. */
export function entryWords(entry: Entry, names: Names): string {
  const { kind, subject } = entry;
  const unknown = `${plainName(kind)} (${subject})`;
  if (!isEntryKind(kind)) return unknown;
  const facts = readFacts(kind, entry.facts);
  if (facts === undefined) return unknown;
  const colon = subject.indexOf(':');
  const [about, id] = [subject.slice(0, colon), subject.slice(colon + 1)];
  const name = NAMED.includes(about)
    ? names.of(about as NamedKind, id)
    : about === 'coordinator'
      ? 'the coordinator'
      : id;
  return capital((SENTENCES[kind] as Sentence<EntryKind>)(facts, { names, id, name }));
}

/** Who did it, as far as the journal says. */
export function actorWords(actor: string, names: Names): string {
  const [role = '', id] = actor.split(':');
  if (id === undefined) return plainName(actor);
  return NAMED.includes(role) ? names.of(role as NamedKind, id) : id;
}
