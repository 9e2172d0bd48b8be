/** The driver's views, read from the store: published rounds, and what was already handed in. */
import { openWindows } from '../../core/calendar/opening.ts';
import { localOf } from '../../core/calendar/zone.ts';
import type { Instant } from '../../core/quantity/units.ts';
import { type Booking, listBookingsOfSite } from '../../store/bookings.ts';
import type { Db } from '../../store/db.ts';
import { getDriver } from '../../store/drivers.ts';
import { listMissedOfStops } from '../../store/missed-stops.ts';
import { getRound, getStopPlace, type StoredRound, type StoredStop } from '../../store/plans.ts';
import { marksOfRound } from '../../store/round-marks.ts';
import { getSite, listSites, type Site } from '../../store/sites.ts';
import { getVan } from '../../store/vans.ts';
import { listWeighInsOfStops, type WeighIn } from '../../store/weigh-ins.ts';
import { listGrades, requireWorkshop, type Workshop } from '../../store/workshop.ts';
import { learnFills } from '../../usecases/learn-fills.ts';
import { roundsAhead } from '../../usecases/running-rounds.ts';
import { afterMark, NOT_STARTED, type RoundProgress } from './round-progress.ts';
import type {
  PauseView,
  RecordedWeighIn,
  RoundView,
  RunView,
  SiteStopView,
  StopOutcome,
  StopPageView,
  WorkshopFacts,
} from './run-view.ts';
import type { SentSheet } from './sent-sheet.ts';

export function readRun(db: Db, driverId: string, nowAt: Instant): RunView {
  const workshop = requireWorkshop(db);
  const todayDay = localOf(workshop.zone, nowAt).day;
  return {
    workshop: workshopFacts(workshop),
    driverName: getDriver(db, driverId)?.name ?? '',
    nowAt,
    todayDay,
    rounds: roundsAhead(db, driverId, nowAt).map((round) => roundView(db, workshop, round, nowAt)),
  };
}

export function readStop(db: Db, driverId: string, stopId: string, nowAt: Instant): StopPageView | undefined {
  const place = getStopPlace(db, stopId);
  // A draft is nobody's round yet.
  if (!place || place.driverId !== driverId || place.planState === 'draft') return undefined;
  const stored = getRound(db, place.roundId);
  const workshop = requireWorkshop(db);
  const round = stored && roundView(db, workshop, stored, nowAt);
  const stop = round?.stops.find((view) => view.stopId === stopId);
  if (!round || stop?.kind !== 'site') return undefined;
  return {
    workshop: workshopFacts(workshop),
    nowAt,
    round,
    stop,
    grades: listGrades(db).map(({ grade, name }) => ({ grade, name })),
  };
}

/** What a driver needs at any stop, and at one that no plan knows. */
export const readSurroundings = (db: Db): Pick<SentSheet, 'grades' | 'sites'> => ({
  grades: listGrades(db).map(({ grade, name }) => ({ grade, name })),
  sites: listSites(db).map(({ id, name, address }) => ({ siteId: id, name, address })),
});

const workshopFacts = ({ name, zone, address, lat, lon, settings }: Workshop): WorkshopFacts => ({
  name,
  zone,
  address,
  position: { lat, lon },
  phone: settings.phone,
});

function roundView(db: Db, workshop: Workshop, round: StoredRound, nowAt: Instant): RoundView {
  const outcomes = readOutcomes(
    db,
    round.stops.map((stop) => stop.id),
  );
  return {
    roundId: round.id,
    day: round.day,
    vanName: getVan(db, round.vanId)?.name ?? '',
    payloadKg: round.payloadKg,
    loadSpaceL: round.loadSpaceL,
    startAt: round.startAt,
    endAt: round.endAt,
    shiftEndAt: round.shiftEndAt,
    distanceM: round.distanceM,
    breakRule: workshop.settings.breakRule,
    fullEarlyRisk: round.fullEarlyRisk,
    tripRisks: round.tripRisks ?? [],
    skipFirst: round.skipFirst.map((siteId) => ({ siteId, name: getSite(db, siteId)?.name ?? '' })),
    stops: round.stops.map((stop) =>
      stop.kind === 'site'
        ? siteStop(db, workshop, round, stop, outcomes.get(stop.id))
        : pause(stop, stop.kind),
    ),
    progress: progressOf(db, round, nowAt, workshop),
  };
}

function progressOf(db: Db, { id, day }: StoredRound, nowAt: Instant, workshop: Workshop): RoundProgress {
  const { breakS } = workshop.settings.breakRule;
  const progress = marksOfRound(db, id).reduce<RoundProgress>(
    (before, { mark, at }) => afterMark(before, mark, at, breakS),
    NOT_STARTED,
  );
  const { last } = progress;
  const isOpen =
    day === localOf(workshop.zone, nowAt).day || (last !== undefined && last.mark !== 'finished');
  return isOpen ? progress : { ...progress, next: [] };
}

const pause = (
  { id, arriveAt, startAt, departAt, legM }: StoredStop,
  kind: PauseView['kind'],
): PauseView => ({
  kind,
  stopId: id,
  arriveAt,
  startAt,
  departAt,
  legM,
});

function siteStop(
  db: Db,
  workshop: Workshop,
  round: StoredRound,
  stop: StoredStop,
  outcome: StopOutcome | undefined,
): SiteStopView {
  const site = getSite(db, stop.siteId ?? '');
  if (!site) throw new Error(`stop ${stop.id} is at site ${stop.siteId}, which is not in the register`);
  const contact = site.contacts.find((person) => person.phone !== '') ?? site.contacts[0];
  const booking = bookingFor(db, site, stop.startAt);
  const model = learnFills(db).get(site.id);
  return {
    kind: 'site',
    stopId: stop.id,
    siteId: site.id,
    name: site.name,
    siteKind: site.kind,
    address: site.address,
    district: site.district,
    position: { lat: site.lat, lon: site.lon },
    arriveAt: stop.arriveAt,
    startAt: stop.startAt,
    departAt: stop.departAt,
    legM: stop.legM,
    open: site.hours.length === 0 ? [] : openWindows(site, workshop.zone, round.day),
    ...(contact ? { contact: { name: contact.name, phone: contact.phone } } : {}),
    containers: site.containers
      .filter(
        ({ fromDay, untilDay }) =>
          (fromDay === null || fromDay <= round.day) && (untilDay === null || round.day <= untilDay),
      )
      .map(({ kind, count, litresEach }) => ({ kind, count, litresEach })),
    expectedKg: stop.expectedKg,
    lowKg: stop.lowKg,
    highKg: stop.highKg,
    bagKg: model?.bagKg ?? site.bagKg ?? workshop.bagKg,
    litresPerKg: 1000 / workshop.filmKgPerM3,
    ...(stop.reason ? { reason: stop.reason } : {}),
    accessNotes: site.accessNotes,
    handlingNotes: site.handlingNotes,
    ...(booking ? { booking: { remarks: booking.remarks, hazards: booking.hazards } } : {}),
    ...(outcome ? { outcome } : {}),
  };
}

const bookingFor = (db: Db, site: Site, startAt: Instant): Booking | undefined =>
  listBookingsOfSite(db, site.id).find(
    (booking) => booking.state !== 'cancelled' && booking.fromAt <= startAt && startAt < booking.untilAt,
  );

function readOutcomes(db: Db, stopIds: readonly string[]): Map<string, StopOutcome> {
  const outcomes = new Map<string, StopOutcome>();
  for (const { stopId, at, reason, note } of listMissedOfStops(db, stopIds))
    if (stopId !== null) outcomes.set(stopId, { kind: 'missed', at, reason, note });
  for (const weighIn of listWeighInsOfStops(db, stopIds))
    if (weighIn.stopId !== null) outcomes.set(weighIn.stopId, { kind: 'weighed', ...recorded(weighIn) });
  return outcomes;
}

const recorded = (w: WeighIn): RecordedWeighIn => ({
  weighInId: w.id,
  at: w.at,
  method: w.method,
  ...(w.grossKg === null ? {} : { grossKg: w.grossKg }),
  ...(w.tareKg === null ? {} : { tareKg: w.tareKg }),
  ...(w.netKg === null ? {} : { netKg: w.netKg }),
  ...(w.bags === null ? {} : { bags: w.bags }),
  foundFull: w.foundFull,
  rejectedKg: w.rejectedKg,
  ...(w.rejectReason === null ? {} : { rejectReason: w.rejectReason }),
  grades: Object.entries(w.gradesKg).map(([grade, kg]) => ({ grade: grade as SiteGrade, kg })),
  note: w.note,
  corrections: w.replacesId === null ? 0 : 1,
});
type SiteGrade = RecordedWeighIn['grades'][number]['grade'];
