/** The number pad of a weigh-in, pure: what every press makes of it, and what it comes to. */
import { shareOut } from '../../../core/quantity/share-out.ts';
import type { Kg } from '../../../core/quantity/units.ts';
import type { Grade, RejectReason } from '../../../core/vocabulary.ts';
import type { Amounts } from '../../shared/weigh-in-fields.ts';

export type Way = 'net' | 'gross' | 'bags';
/** Where digits go. */
export type PadField = 'net' | 'gross' | 'tare' | 'bags' | 'thrownOut';

export type Pad = {
  readonly way: Way;
  readonly field: PadField;
  /** As typed, with a point; of `net` and `gross` the lift that is being typed. */
  readonly typed: { readonly [field in PadField]: string };
  /** Lifts before it, kg each. */
  readonly lifts: { readonly net: readonly Kg[]; readonly gross: readonly Kg[] };
  readonly foundFull: boolean;
  readonly reason: RejectReason | undefined;
  readonly grades: readonly Grade[];
  readonly note: string;
  /** Of a correction: the grades that stand, in kg, kept where nobody touches them. */
  readonly stood?: Amounts['grades'];
};

export const EMPTY_PAD: Pad = {
  way: 'net',
  field: 'net',
  typed: { net: '', gross: '', tare: '', bags: '', thrownOut: '' },
  lifts: { net: [], gross: [] },
  foundFull: false,
  reason: undefined,
  grades: [],
  note: '',
};

/** What stands, as it would have been typed: a correction changes only what is wrong. */
export function padOf(stands: Amounts): Pad {
  const text = (value: number | undefined): string => (value === undefined ? '' : String(value));
  const way: Way = stands.grossKg !== undefined ? 'gross' : stands.netKg !== undefined ? 'net' : 'bags';
  return {
    ...EMPTY_PAD,
    way,
    field: way,
    typed: {
      net: way === 'net' ? text(stands.netKg) : '',
      gross: text(stands.grossKg),
      tare: text(stands.tareKg),
      bags: text(stands.bags),
      thrownOut: stands.rejectedKg === 0 ? '' : text(stands.rejectedKg),
    },
    foundFull: stands.foundFull,
    reason: stands.rejectReason,
    grades: stands.grades.map(({ grade }) => grade),
    stood: stands.grades,
    note: stands.note,
  };
}

export type Key = '0' | '1' | '2' | '3' | '4' | '5' | '6' | '7' | '8' | '9' | '.' | 'erase';

/** Six digits before the point, three after: what the server reads as well. */
const TYPED = /^\d{0,6}(\.\d{0,3})?$/;

export function press(pad: Pad, key: Key): Pad {
  const text = pad.typed[pad.field];
  if (key === 'erase') return text === '' ? withoutLastLift(pad) : typing(pad, text.slice(0, -1));
  const next = key === '.' && text === '' ? '0.' : (text === '0' && key !== '.' ? '' : text) + key;
  return TYPED.test(next) ? typing(pad, next) : pad;
}

const typing = (pad: Pad, text: string): Pad => ({ ...pad, typed: { ...pad.typed, [pad.field]: text } });

/** What was typed becomes a lift, and the next one is asked for. */
export function addLift(pad: Pad): Pad {
  const { field } = pad;
  if (field !== 'net' && field !== 'gross') return pad;
  const kg = numberOf(pad.typed[field]);
  if (kg === undefined) return pad;
  return typing({ ...pad, lifts: { ...pad.lifts, [field]: [...pad.lifts[field], kg] } }, '');
}

function withoutLastLift(pad: Pad): Pad {
  const { field } = pad;
  if (field !== 'net' && field !== 'gross') return pad;
  const last = pad.lifts[field].at(-1);
  if (last === undefined) return pad;
  return typing({ ...pad, lifts: { ...pad.lifts, [field]: pad.lifts[field].slice(0, -1) } }, String(last));
}

export const numberOf = (text: string): number | undefined =>
  /\d/.test(text) ? Number(text.replace(/\.$/, '')) : undefined;

/** Several lifts come to this; in whole grams, so that 12.1 + 0.2 is 12.3. */
export function liftsSum(pad: Pad, field: 'net' | 'gross'): Kg | undefined {
  const typed = numberOf(pad.typed[field]);
  const all = [...pad.lifts[field], ...(typed === undefined ? [] : [typed])];
  return all.length === 0 ? undefined : grams(all.reduce((sum, kg) => sum + kg, 0));
}

const grams = (kg: Kg): Kg => Math.round(kg * 1000) / 1000;
/** Beyond any van: a slip of the finger. */
const MOST_KG = 10_000;

export type PadProblem = 'nothing' | 'tare-over-gross' | 'thrown-over' | 'thrown-why' | 'too-much';

/** What it comes to, or what is missing. The way that is on show counts; bags count beside either. */
export function amountsOf(pad: Pad, bagKg: Kg): { readonly amounts: Amounts; readonly problem?: PadProblem } {
  const gross = pad.way === 'gross' ? liftsSum(pad, 'gross') : undefined;
  const tare = gross === undefined ? undefined : (numberOf(pad.typed.tare) ?? 0);
  const net =
    pad.way === 'net'
      ? liftsSum(pad, 'net')
      : gross === undefined || tare === undefined
        ? undefined
        : grams(gross - tare);
  const bags = numberOf(pad.typed.bags);
  const rejectedKg = numberOf(pad.typed.thrownOut) ?? 0;
  const mass = net ?? (bags === undefined ? undefined : bags * bagKg);
  const amounts: Amounts = {
    ...(gross === undefined || tare === undefined ? {} : { grossKg: gross, tareKg: tare }),
    ...(net === undefined ? {} : { netKg: net }),
    ...(bags === undefined ? {} : { bags }),
    foundFull: pad.foundFull,
    rejectedKg,
    ...(pad.reason === undefined ? {} : { rejectReason: pad.reason }),
    grades: mass === undefined ? [] : shared(pad, grams(Math.max(0, mass - rejectedKg))),
    note: pad.note.trim(),
  };
  const problem = problemOf(amounts, mass);
  return problem ? { amounts, problem } : { amounts };
}

function problemOf(amounts: Amounts, mass: Kg | undefined): PadProblem | undefined {
  if (mass === undefined && !amounts.foundFull) return 'nothing';
  if (mass !== undefined && mass < 0) return 'tare-over-gross';
  if (Math.max(mass ?? 0, amounts.grossKg ?? 0, amounts.rejectedKg) > MOST_KG) return 'too-much';
  if (mass !== undefined && amounts.rejectedKg > mass + 0.001) return 'thrown-over';
  if (amounts.rejectedKg > 0 && amounts.rejectReason === undefined) return 'thrown-why';
  return undefined;
}

/** Equal parts in whole grams that add up to the whole; what stood and still fits stays. */
function shared({ grades, stood = [] }: Pad, kg: Kg): Amounts['grades'] {
  const isAsItStood = stood.map(({ grade }) => grade).join() === grades.join();
  if (isAsItStood && stood.reduce((sum, part) => sum + part.kg, 0) <= kg) return stood;
  if (grades.length === 0 || kg <= 0) return [];
  const parts = shareOut(
    Math.round(kg * 1000),
    grades.map((_, i) => (isAsItStood ? (stood[i]?.kg ?? 1) : 1)),
  );
  return grades.map((grade, i) => ({ grade, kg: parts[i]! / 1000 }));
}
