/** What the coordinator's pages need from the rest: readers that give views, and a few things to do. */
import type { Result } from '../../core/quantity/result.ts';
import type { CalendarOf } from '../../usecases/calendar-links.ts';
import type { ConfirmRefusal } from '../../usecases/confirm-weigh-in.ts';
import type { WeighInRefusal } from '../../usecases/record-weigh-in.ts';
import type { MadeLink } from '../shared/made-link.ts';
import type { BacktestView } from './backtest-view.ts';
import type { ChangesView, NewsView, RequestsView } from './changes-view.ts';
import type { InboxDeps } from './inbox/inbox-routes.tsx';
import type { LinksView } from './links-view.ts';
import type { MapDeps } from './map/map-routes.tsx';
import type { PositionDeps } from './map/position-routes.tsx';
import type { PlanningRunDeps } from './planning-run-routes.tsx';
import type { ProductionView } from './production-view.ts';
import type { RoundView } from './round-view.ts';
import type { SettingsDeps } from './settings-routes.tsx';
import type { SitesView, SiteView } from './site-view.ts';
import type { WeekSheetView } from './week-sheet-view.ts';
import type { CorrectionFacts } from './weigh-in-correction.ts';
import type { WeighInView } from './weigh-in-view.ts';
import type { WorthDeps } from './worth-routes.tsx';

export type CoordinatorDeps = SettingsDeps &
  WorthDeps &
  PlanningRunDeps &
  InboxDeps &
  MapDeps &
  PositionDeps & {
    /** False on a new database: then every page shows the first steps. */
    hasWorkshop(): boolean;
    /**
     * The plan with this id, or else the newest draft if it is newer than the published plan, or else the published
     * plan, or else the days ahead without a plan. Nothing for an id that does not exist.
     */
    readWeekSheet(planId?: string): WeekSheetView | undefined;
    /** What a draft changes; without an id the one made for the newest danger. */
    readChanges(planId?: string): ChangesView | undefined;
    readRequests(): RequestsView;
    /** A request of somebody new was answered. */
    answerPlaceRequest(request: {
      readonly requestId: string;
      readonly actor: string;
    }): Result<unknown, { readonly kind: 'no-such-request' }>;
    readNews(): NewsView;
    dropDraft(request: { readonly planId: string; readonly actor: string }): Result<unknown, PublishRefusal>;
    readRound(roundId: string): RoundView | undefined;
    /** Sites whose name, district, donor or key contains the text; all for ''. Most urgent first. */
    readSites(search: string): SitesView;
    readSite(siteId: string): SiteView | undefined;
    readProduction(): ProductionView;
    readLinks(): LinksView;
    /** The weigh-in, or the correction that stands in its place. */
    readWeighIn(weighInId: string): WeighInView | undefined;
    /** How good the estimates were, or how far the work on it is. */
    readBacktest(): Promise<Pick<BacktestView, 'workshop' | 'state' | 'siteNames'>>;
    /** A fresh random id: the form's own, so that a second press of the button changes nothing. */
    newId(): string;
    confirmWeighIn(request: ConfirmRequest): Result<ConfirmedWeighIn, ConfirmRefusal>;
    doubtWeighInAgain(request: ConfirmRequest): Result<ConfirmedWeighIn, ConfirmRefusal>;
    correctWeighIn(
      correction: CorrectionFacts & { readonly stopId: string | null; readonly actor: string },
    ): Result<{ readonly weighInId: string }, WeighInRefusal>;
    publishPlan(request: {
      readonly planId: string;
      readonly actor: string;
    }): Result<unknown, PublishRefusal>;
    /** Makes a link for a driver or a donor. */
    createLink(request: {
      readonly role: 'driver' | 'donor';
      readonly subjectId: string;
      readonly actor: string;
      /** Whose link it is, where a donor has several people. */
      readonly person?: string;
    }): Result<MadeLink, { readonly kind: 'no-such-person' }>;
    /** Makes a calendar's private address; the one before ends. */
    createCalendar(
      request: CalendarOf & { readonly actor: string },
    ): Result<MadeLink, { readonly kind: 'no-such-person' }>;
    /** Withdraws a link and every session that was made with it. */
    revokeLink(request: {
      readonly hash: string;
      readonly actor: string;
    }): Result<unknown, { readonly kind: 'no-such-link' }>;
  };

type ConfirmRequest = { readonly weighInId: string; readonly actor: string };
type ConfirmedWeighIn = { readonly weighInId: string; readonly siteId: string };

export type PublishRefusal =
  | { readonly kind: 'no-such-plan' | 'plan-not-a-draft' }
  | { readonly kind: 'out-of-date'; readonly shiftIds: readonly string[] };
