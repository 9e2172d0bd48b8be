/** The coordinator's views of weigh-ins that do not fit, and of one weigh-in with its history. */
import type { Instant } from '../../core/quantity/units.ts';
import type { Grade } from '../../core/vocabulary.ts';
import type { Db } from '../../store/db.ts';
import { getDriver } from '../../store/drivers.ts';
import { getSite, listSites } from '../../store/sites.ts';
import { type Confirmation, getConfirmation } from '../../store/weigh-in-confirmations.ts';
import { getWeighIn, replacementOf, type WeighIn } from '../../store/weigh-ins.ts';
import { listGrades, requireWorkshop } from '../../store/workshop.ts';
import { pastForecasts } from '../../usecases/learn-fills.ts';
import { type Doubt, expectedOf, listDoubts } from '../../usecases/list-doubts.ts';
import type { Amounts } from '../shared/weigh-in-fields.ts';
import type { ConfirmedView, DoubtView, WeighInVersion, WeighInView } from './weigh-in-view.ts';

/** Newest first. */
export function readDoubts(db: Db): DoubtView[] {
  const names = new Map(listSites(db).map((site) => [site.id, site.name]));
  return listDoubts(db).map((doubt) => doubtView(doubt, names.get(doubt.siteId) ?? ''));
}

const doubtView = (doubt: Doubt, siteName: string): DoubtView => ({ ...doubt, siteName });

export function readWeighIn(db: Db, nowAt: Instant, weighInId: string): WeighInView | undefined {
  const asked = getWeighIn(db, weighInId);
  if (!asked) return undefined;
  const chain = chainOf(db, asked);
  const now = chain.at(-1)!;
  const site = getSite(db, now.siteId)!;
  const { name, zone, currency, bagKg } = requireWorkshop(db);
  const step = pastForecasts(db, now.siteId).find((one) => one.evidenceId === now.id);
  const doubt = listDoubts(db).find((one) => one.weighInId === now.id);
  const confirmed = readConfirmed(db, now.id);
  return {
    workshop: { name, zone, currency },
    nowAt,
    siteId: site.id,
    bagKg: site.bagKg ?? bagKg,
    now: version(db, now),
    isCurrent: now.id === weighInId,
    versions: chain.map((one) => version(db, one)),
    ...(doubt ? { doubt: doubtView(doubt, site.name) } : {}),
    ...(step ? { expected: expectedOf(step) } : {}),
    ...(confirmed ? { confirmed } : {}),
    stopId: now.stopId,
    sites: now.stopId === null ? listSites(db).map((one) => ({ id: one.id, name: one.name })) : [],
    grades: listGrades(db).map(({ grade }) => ({ grade })),
  };
}

function readConfirmed(db: Db, weighInId: string): ConfirmedView | undefined {
  const found = getConfirmation(db, weighInId);
  return found && confirmedView(db, found);
}

export const confirmedView = (db: Db, { confirmedBy, confirmedAt }: Confirmation): ConfirmedView => ({
  by: personName(db, confirmedBy),
  at: confirmedAt,
});

/** From the first figure to the one that stands. */
function chainOf(db: Db, one: WeighIn): WeighIn[] {
  const chain = [one];
  for (let first = chain[0]!; first.replacesId !== null; first = chain[0]!)
    chain.unshift(getWeighIn(db, first.replacesId)!);
  for (let next = replacementOf(db, one.id); next; next = replacementOf(db, next.id)) chain.push(next);
  return chain;
}

const version = (db: Db, w: WeighIn): WeighInVersion => ({
  weighInId: w.id,
  at: w.at,
  siteName: getSite(db, w.siteId)?.name ?? '',
  amounts: amountsOf(w),
  method: w.method,
  by: personName(db, w.recordedBy),
  recordedAt: w.recordedAt,
});

const amountsOf = (w: WeighIn): Amounts => ({
  ...(w.grossKg === null ? {} : { grossKg: w.grossKg }),
  ...(w.tareKg === null ? {} : { tareKg: w.tareKg }),
  ...(w.netKg === null ? {} : { netKg: w.netKg }),
  ...(w.bags === null ? {} : { bags: w.bags }),
  foundFull: w.foundFull,
  rejectedKg: w.rejectedKg,
  ...(w.rejectReason === null ? {} : { rejectReason: w.rejectReason }),
  ...(w.leftKg === null ? {} : { leftKg: w.leftKg }),
  grades: Object.entries(w.gradesKg).map(([grade, kg]) => ({ grade: grade as Grade, kg })),
  note: w.note,
});

/** "driver:abc" as a person says it. */
function personName(db: Db, actor: string): string {
  const [role, id = ''] = actor.split(':');
  if (role === 'driver') return getDriver(db, id)?.name ?? 'a driver';
  if (actor === 'import' || actor === 'demo') return 'an imported file';
  if (role === 'coordinator') return 'the coordinator';
  return actor;
}
