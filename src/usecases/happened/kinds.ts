/**
 * Everything that a person may say has happened, one row a kind, with the facts that belong to it. The JSON interface,
 * the command `feedround happened` and the page "Something happened" all read this list.
 */
import type { Result } from '../../core/quantity/result.ts';
import type { Instant } from '../../core/quantity/units.ts';
import type { RoundMark } from '../../core/vocabulary.ts';
import { announceSurge, callOffSurge, changeSurge } from '../announce-surge.ts';
import { changeProductionDay } from '../change-production-day.ts';
import type { Context } from '../context.ts';
import { correctStock } from '../correct-stock.ts';
import { markRound } from '../mark-round.ts';
import { pressProductionDay } from '../press-production-day.ts';
import { receiveFilm } from '../receive-film.ts';
import { recordMissedStop } from '../record-missed-stop.ts';
import { reportDriverAway, reportDriverBack } from '../report-driver-away.ts';
import { reportFull } from '../report-full.ts';
import { putVanBack, takeVanOffRoad } from '../take-van-off-road.ts';
import { weighLoad } from '../weigh-load.ts';
import type { Fields, ValuesOf } from './fields.ts';

/** Facts and sentences belong to the edges; here a refusal is its kind and what it knows. */
export type AnyRefusal = { readonly kind: string };
export type Told = { readonly factId: string; readonly actor: string; readonly nowAt: Instant };

export type Happening = {
  readonly fields: Fields;
  /** Answers the id of what it made or changed. */
  readonly tell: (context: Context, values: never, told: Told) => Result<string, AnyRefusal>;
};

const happening = <const F extends Fields>(
  fields: F,
  tell: (context: Context, values: ValuesOf<F>, told: Told) => Result<string, AnyRefusal>,
): Happening => ({ fields, tell: tell as Happening['tell'] });

const naming = <T, N extends keyof T>(made: Result<T, AnyRefusal>, name: N): Result<T[N], AnyRefusal> =>
  made.ok ? { ok: true, value: made.value[name] } : made;

/** Now, unless it is said when. */
const AT = { at: { type: 'instant', isOptional: true } } as const;
const NOTE = { note: { type: 'text', isOptional: true } } as const;
const FILM = { grade: { type: 'grade' }, kg: { type: 'kg' }, ...NOTE, ...AT } as const;
const SURGE = {
  event_kind: { type: 'event-kind' },
  name: { type: 'text', isOptional: true },
  starts_at: { type: 'instant' },
  ends_at: { type: 'instant' },
  expected_bags: { type: 'bags' },
} as const;
const surgeOf = (v: ValuesOf<typeof SURGE>) => ({
  eventKind: v.event_kind,
  name: v.name ?? '',
  startsAt: v.starts_at,
  endsAt: v.ends_at,
  expectedBags: v.expected_bags,
});

const roundMarked = (mark: RoundMark): Happening =>
  happening({ round: { type: 'round' }, ...AT }, (context, { round, at }, { factId, actor, nowAt }) =>
    naming(
      markRound(context, { factId, roundId: round, mark, at: at ?? nowAt, recordedBy: actor }),
      'markId',
    ),
  );
const received = (kind: 'delivery' | 'take-back'): Happening =>
  happening(FILM, (context, { grade, kg, note = '', at }, { factId, actor, nowAt }) =>
    naming(receiveFilm(context, { factId, kind, grade, kg, note, at: at ?? nowAt, actor }), 'movementId'),
  );

export const HAPPENINGS = {
  'container-reported-full': happening(
    { site: { type: 'site' }, fraction: { type: 'fraction', isOptional: true }, ...AT },
    (context, { site, fraction = 1, at }, { factId, actor, nowAt }) =>
      naming(
        reportFull(context, { factId, siteId: site, at: at ?? nowAt, fraction, reportedBy: actor }),
        'reportId',
      ),
  ),
  'surge-announced': happening({ site: { type: 'site' }, ...SURGE }, (context, values, { factId, actor }) =>
    naming(announceSurge(context, { factId, siteId: values.site, actor, ...surgeOf(values) }), 'surgeId'),
  ),
  'surge-changed': happening({ surge: { type: 'surge' }, ...SURGE }, (context, values, { actor }) =>
    naming(changeSurge(context, { surgeId: values.surge, actor, ...surgeOf(values) }), 'surgeId'),
  ),
  'surge-cancelled': happening({ surge: { type: 'surge' } }, (context, { surge }, { actor }) =>
    naming(callOffSurge(context, { surgeId: surge, actor }), 'surgeId'),
  ),
  'stop-missed': happening(
    { stop: { type: 'stop' }, reason: { type: 'missed-reason' }, ...NOTE, ...AT },
    (context, { stop, reason, note = '', at }, { factId, actor, nowAt }) =>
      naming(
        recordMissedStop(context, {
          factId,
          stopId: stop,
          at: at ?? nowAt,
          reason,
          note,
          recordedBy: actor,
        }),
        'missedId',
      ),
  ),
  'load-weighed': happening(
    { round: { type: 'round' }, net_kg: { type: 'kg' }, ...AT },
    (context, { round, net_kg, at }, { factId, actor, nowAt }) =>
      naming(
        weighLoad(context, { factId, roundId: round, at: at ?? nowAt, netKg: net_kg, recordedBy: actor }),
        'loadWeighInId',
      ),
  ),
  'round-started': roundMarked('started'),
  'round-paused': roundMarked('paused'),
  'round-resumed': roundMarked('resumed'),
  'round-finished': roundMarked('finished'),
  'van-off-road': happening(
    { van: { type: 'van' }, from_at: { type: 'instant', isOptional: true }, reason: { type: 'text' } },
    (context, { van, from_at, reason }, { actor, nowAt }) =>
      naming(takeVanOffRoad(context, { vanId: van, fromAt: from_at ?? nowAt, reason, actor }), 'vanId'),
  ),
  'van-back': happening({ van: { type: 'van' } }, (context, { van }, { actor }) =>
    naming(putVanBack(context, { vanId: van, actor }), 'vanId'),
  ),
  'driver-away': happening(
    { shift: { type: 'shift' }, reason: { type: 'text', isOptional: true } },
    (context, { shift, reason = '' }, { actor }) =>
      naming(reportDriverAway(context, { shiftId: shift, reason, actor }), 'shiftId'),
  ),
  'driver-back': happening({ shift: { type: 'shift' } }, (context, { shift }, { actor }) =>
    naming(reportDriverBack(context, { shiftId: shift, actor }), 'shiftId'),
  ),
  'film-delivered': received('delivery'),
  'take-back-received': received('take-back'),
  'stock-counted': happening(
    { grade: { type: 'grade' }, counted_kg: { type: 'kg' }, reason: { type: 'text' }, ...AT },
    (context, { grade, counted_kg, reason, at }, { factId, actor, nowAt }) =>
      naming(
        correctStock(context, {
          factId,
          grade,
          found: { countedKg: counted_kg },
          at: at ?? nowAt,
          reason,
          actor,
        }),
        'movementId',
      ),
  ),
  'stock-corrected': happening(
    { grade: { type: 'grade' }, change_kg: { type: 'change-kg' }, reason: { type: 'text' }, ...AT },
    (context, { grade, change_kg, reason, at }, { factId, actor, nowAt }) =>
      naming(
        correctStock(context, {
          factId,
          grade,
          found: { changeKg: change_kg },
          at: at ?? nowAt,
          reason,
          actor,
        }),
        'movementId',
      ),
  ),
  'production-day-changed': happening(
    { product: { type: 'product' }, day: { type: 'day' }, units: { type: 'units' } },
    (context, { product, day, units }, { actor }) =>
      naming(changeProductionDay(context, { productId: product, day, units, actor }), 'productId'),
  ),
  'production-day-pressed': happening(
    { product: { type: 'product' }, units: { type: 'units' }, ...AT },
    (context, { product, units, at }, { factId, actor, nowAt }) =>
      naming(
        pressProductionDay(context, { factId, productId: product, units, at: at ?? nowAt, actor }),
        'productId',
      ),
  ),
} as const satisfies { readonly [kind: string]: Happening };

export type HappeningKind = keyof typeof HAPPENINGS;
export const HAPPENING_KINDS = Object.keys(HAPPENINGS) as HappeningKind[];
