/**
 * Everything a site's estimate is learnt from, as plain data. The store reads it, `learn-site.ts` replays it.
 * A weigh-in that was corrected is left out by whoever reads it: only the row that replaced it comes here.
 */
import type { Instant, Kg, Litres, LocalDay } from '../quantity/units.ts';
import type { EventKind, Grade, MissedReason, SiteKind, WeighMethod } from '../vocabulary.ts';

export type SiteHistory = {
  readonly siteId: string;
  readonly kind: SiteKind;
  readonly zone: string;
  /** What the donor said; 0 where nothing was said. */
  readonly declaredBagsPerWeek: number;
  /** Mass of one bag before the site's own weigh-ins speak: the site's figure or the workshop's. */
  readonly bagKg: Kg;
  /** Litres that one kg of loose film takes (1 / bulk density). */
  readonly litresPerKg: number;
  readonly containers: readonly HistoricContainer[];
  /** Monday first: days on which film accrues. None open means all are. */
  readonly openWeekdays: readonly boolean[];
  /** Weights of the weekdays, as learnt; absent: all open days alike. */
  readonly weekdayWeights?: readonly number[];
  readonly closedDays: readonly { readonly fromDay: LocalDay; readonly untilDay: LocalDay }[];
  /** Twelve factors, January first; absent means 1, or what the workshop learnt. */
  readonly monthFactor?: readonly number[];
  /** Since when film gathers there. */
  readonly fillsSinceAt: Instant;
  /** False: nobody knows what waited at the start, so the first pickup only starts the clock. */
  readonly isStartKnown: boolean;
  /** Expected grade split; may be empty. */
  readonly declaredShares: { readonly [grade in Grade]?: number };
  readonly evidence: readonly Evidence[];
  readonly surges: readonly HistoricSurge[];
};

/** Days include both ends; absent means open-ended. */
export type HistoricContainer = {
  readonly count: number;
  readonly litresEach: Litres;
  readonly fromDay?: LocalDay;
  readonly untilDay?: LocalDay;
};

export type HistoricSurge = {
  readonly eventKind: EventKind;
  readonly startsAt: Instant;
  readonly endsAt: Instant;
  readonly expectedBags: number;
  readonly announcedAt: Instant;
  readonly cancelledAt?: Instant;
};

export type Evidence = PickedUp | Missed | Reported;

/** Something was taken away: how much in kg, in bags, or only that it was full. */
export type PickedUp = {
  readonly kind: 'picked-up';
  readonly id: string;
  readonly at: Instant;
  /** Net, rejected film included: it filled the container all the same. */
  readonly netKg?: Kg;
  readonly bags?: number;
  readonly foundFull: boolean;
  readonly method: WeighMethod;
  /** The load whose total at unloading covers this stop. */
  readonly loadId?: string;
  /** What did not fit in the van and stayed. */
  readonly leftKg?: Kg;
  /** Sorted mass by grade, where somebody looked. */
  readonly gradesKg?: { readonly [grade in Grade]?: Kg };
  /** A person says the figure is right: it is not doubted. */
  readonly isConfirmed?: boolean;
};

/** Nothing was taken away. Tells nothing about the fill, unless the reason is that nothing was there. */
export type Missed = {
  readonly kind: 'missed';
  readonly id: string;
  readonly at: Instant;
  readonly reason: MissedReason;
};

/** What the donor says: 1 is full to the brim. */
export type Reported = {
  readonly kind: 'reported';
  readonly id: string;
  readonly at: Instant;
  readonly fraction: number;
};

/** One total for a whole load, found at unloading. */
export type LoadWeighed = {
  readonly loadId: string;
  readonly at: Instant;
  readonly netKg: Kg;
};

/** Litres of all containers that stood there on a day. */
export function capacityLOn(history: Pick<SiteHistory, 'containers'>, day: LocalDay): Litres {
  let litres = 0;
  for (const c of history.containers)
    if ((c.fromDay === undefined || c.fromDay <= day) && (c.untilDay === undefined || day <= c.untilDay))
      litres += c.count * c.litresEach;
  return litres;
}

/** The same as a function of an instant's day, which is only looked up where containers came and went. */
export function capacityLAt(history: SiteHistory, dayOf: (at: Instant) => LocalDay): (at: Instant) => Litres {
  const isFixed = history.containers.every((c) => c.fromDay === undefined && c.untilDay === undefined);
  if (!isFixed) return (at) => capacityLOn(history, dayOf(at));
  const litres = capacityLOn(history, '2000-01-01');
  return () => litres;
}
