/** The week sheet: the tool's face. Days are columns; everything on the sheet shares them. */
import { MONEY_PARTS } from '../../core/planning/plan.ts';
import { ago, dateTime, dayLong, dayShort, kg, km, number, weekday } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { MONEY_WORDS, PLAN_STATE_WORDS } from '../shared/words.ts';
import { ByHand } from './change-by-hand.tsx';
import type { NewsView } from './changes-view.ts';
import { DoubtLine } from './doubts.tsx';
import { FirstSteps } from './first-steps.tsx';
import { SheetDefs, Sign } from './marks.tsx';
import { BandChart, GradeRow, StockTable } from './week-band.tsx';
import { DayFeet } from './week-rounds.tsx';
import type { PlanHead, SiteStrip, WeekSheetView } from './week-sheet-view.ts';
import { BRIM_Y, LOUD_RISK, StripRow } from './week-strip.tsx';
import { LeftOutList, MoneyTable, SheetTable, Unkept } from './week-tables.tsx';
import { verdicts } from './week-verdict.ts';

/** Strips shown at once; the rest waits behind a fold, where nothing is urgent. */
const STRIPS_SHOWN = 14;
/** Beyond this many a sheet is no sheet any more; the others are one press away. */
const STRIPS_DRAWN = 80;

const FRAME = { role: 'coordinator', here: '/week', width: 'sheet', scripts: ['week'] } as const;

export type WeekSheetProps = {
  readonly view: WeekSheetView;
  readonly notice?: Notice | undefined;
  /** Draws every site, however many there are. */
  readonly isWhole?: boolean;
  readonly news?: NewsView;
};

export const WeekSheetPage = ({ view, notice, isWhole = false, news }: WeekSheetProps) => (
  <Page title={span(view)} workshop={view.workshop.name} notice={notice} {...FRAME}>
    <SheetDefs brimY={BRIM_Y} />
    <SheetHead view={view} />
    {view.register.sites === 0 ? (
      <FirstSteps heading="No sites yet" />
    ) : (
      <>
        {news && <NewsLine news={news} />}
        {view.plan?.byHand && (
          <ByHand planId={view.plan.id} isDraft={view.plan.state === 'draft'} byHand={view.plan.byHand} />
        )}
        <Unkept view={view} />
        <DoubtLine doubts={view.doubts} zone={view.workshop.zone} nowAt={view.nowAt} />
        <Sheet view={view} drawn={isWhole ? view.strips : view.strips.slice(0, STRIPS_DRAWN)} />
        <MoneyTable view={view} />
        <LeftOutList view={view} />
        <SheetTable view={view} strips={isWhole ? view.strips : view.strips.slice(0, STRIPS_DRAWN)} />
      </>
    )}
  </Page>
);

/** What waits for the coordinator beside the sheet. */
const NewsLine = ({ news: { waiting, draftId, setAside } }: { readonly news: NewsView }) =>
  waiting === 0 && draftId === undefined && !setAside ? null : (
    <ul class="sheet-news on-screen">
      {draftId !== undefined && (
        <li>
          <a href={`/changes?plan=${draftId}`}>
            The published plan is in danger: see the draft that mends it
          </a>
        </li>
      )}
      {setAside && (
        <li>
          <a href={`/plans/${setAside.draftId}/against/${setAside.shownId}`}>
            A draft that was changed by hand is not the newest any more: see both beside each other
          </a>
        </li>
      )}
      {waiting > 0 && (
        <li>
          <a href="/requests">
            {waiting === 1
              ? 'One extra collection waits for a day'
              : `${number(waiting)} extra collections wait for a day`}
          </a>
        </li>
      )}
    </ul>
  );

/** "Monday 2 to Sunday 8 March": the month once, unless the days run into another. */
const span = ({ days }: WeekSheetView): string => {
  const first = dayLong(days[0]!.day);
  const last = dayLong(days.at(-1)!.day);
  if (first === last) return first;
  const month = (text: string) => text.slice(text.lastIndexOf(' '));
  return `${month(first) === month(last) ? first.slice(0, first.lastIndexOf(' ')) : first} to ${last}`;
};

const SheetHead = ({ view }: { readonly view: WeekSheetView }) => (
  <header class="sheet-head">
    <div>
      <p class="kicker">{view.plan ? <PlanLine plan={view.plan} view={view} /> : 'Not planned yet'}</p>
      <h1>{span(view)}</h1>
      {view.register.sites > 0 && (
        <ul class="verdicts">
          {verdicts(view).map(({ isGood, text }) => (
            <li class={isGood ? 'verdict' : 'verdict verdict-bad'}>{text}</li>
          ))}
        </ul>
      )}
    </div>
    {view.register.sites > 0 && <Actions view={view} />}
  </header>
);

const PlanLine = ({ plan, view }: { readonly plan: PlanHead; readonly view: WeekSheetView }) => (
  <>
    <strong class={`state state-${plan.state}`}>{PLAN_STATE_WORDS[plan.state]}</strong>{' '}
    {plan.publishedAt !== undefined && `since ${dateTime(plan.publishedAt, view.workshop.zone)}. `}
    Planned {ago(plan.createdAt, view.nowAt)}
    {plan.factsChanged ? <Changed isDraft={plan.state === 'draft'} /> : ' on the facts of today.'}
  </>
);

const Changed = ({ isDraft }: { readonly isDraft: boolean }) =>
  isDraft ? (
    <>
      {' '}
      <strong class="loud">on other facts than today’s: plan again before you publish.</strong>
    </>
  ) : (
    <>. Something has been weighed, booked or changed since.</>
  );

const Actions = ({ view: { plan, publishedPlanId } }: { readonly view: WeekSheetView }) => (
  <div class="actions on-screen">
    <form method="post" action="/week/plan">
      <button type="submit" class={plan ? undefined : 'primary'}>
        {plan ? 'Plan again' : 'Plan the week'}
      </button>
    </form>
    {plan?.state === 'draft' && (
      <form method="post" action={`/plans/${plan.id}/publish`}>
        <button type="submit" class="primary">
          Publish
        </button>
      </form>
    )}
    {plan?.state === 'draft' && publishedPlanId && (
      <>
        <a href={`/week?plan=${publishedPlanId}`}>See the published week</a>
        <a href={`/plans/${publishedPlanId}/against/${plan.id}`}>Compare both</a>
      </>
    )}
  </div>
);

type SheetProps = { readonly view: WeekSheetView; readonly drawn: readonly SiteStrip[] };

const Sheet = ({ view, drawn }: SheetProps) => {
  const { days, workshop } = view;
  const shown = drawn.slice(0, Math.max(STRIPS_SHOWN, drawn.filter(isLoud).length));
  const folded = drawn.slice(shown.length);
  const undrawn = view.strips.length - drawn.length;
  return (
    <div class="sheet" {...handData(view)}>
      <DaysHead view={view} />
      <section aria-labelledby="store">
        <div class="row band whole">
          <div class="row-label">
            <h2 id="store" class="row-title">
              Store and production
            </h2>
            <ul class="key">
              <li>
                <i class="film film-stock" /> film in the store, four chances in five
              </li>
              <li>
                <i class="film film-draw" /> what production takes that day
              </li>
              <li class="soft">holds up to {kg(view.storeLimitKg)}</li>
            </ul>
          </div>
          <BandChart line={view.stock} days={days} storeLimitKg={view.storeLimitKg} />
        </div>
        <StockTable line={view.stock} days={days} />
        {view.grades.length > 0 && (
          <ul class="rows grades">
            {view.grades.map((line) => (
              <GradeRow line={line} days={days} />
            ))}
          </ul>
        )}
      </section>
      <section aria-labelledby="sites">
        <div class="row-heading">
          <h2 id="sites" class="row-title">
            Sites, most urgent first
          </h2>
          <StripKey />
        </div>
        <ul class="rows">
          {shown.map((strip) => (
            <StripRow strip={strip} days={days} zone={workshop.zone} />
          ))}
        </ul>
        {folded.length > 0 && (
          <details class="folded">
            <summary>
              {number(folded.length)} more {folded.length === 1 ? 'site' : 'sites'} in no hurry
            </summary>
            <ul class="rows">
              {folded.map((strip) => (
                <StripRow strip={strip} days={days} zone={workshop.zone} />
              ))}
            </ul>
          </details>
        )}
        {undrawn > 0 && (
          <p class="folded">
            <a href={view.plan ? `/week?plan=${view.plan.id}&all=yes` : '/week?all=yes'}>
              Draw the other {number(undrawn)} {undrawn === 1 ? 'site' : 'sites'} as well
            </a>
          </p>
        )}
      </section>
      {view.plan && (
        <section aria-labelledby="rounds" class="row foot-section">
          <div class="row-label">
            <h2 id="rounds" class="row-title">
              Rounds
            </h2>
            <ul class="key">
              <li>Bars end at the limit; the lighter part is what the plan allows for.</li>
              <li>
                <i class="dot" /> a stop, <i class="dot dot-unload" /> unloading
              </li>
            </ul>
          </div>
          <DayFeet
            days={days}
            rounds={view.rounds}
            siteNames={view.siteNames}
            locale={workshop}
            planId={view.plan.id}
          />
        </section>
      )}
    </div>
  );
};

/** What `client/week.ts` needs to move a visit; nothing where the plan cannot be changed any more. */
const handData = ({ plan, days, workshop }: WeekSheetView) =>
  plan === undefined || plan.state === 'superseded'
    ? {}
    : {
        'data-week': plan.id,
        'data-days': days.map(({ day }) => `${day}=${dayLong(day)}`).join(';'),
        'data-currency': workshop.currency,
        'data-parts': JSON.stringify(
          Object.fromEntries(MONEY_PARTS.map((part) => [part, MONEY_WORDS[part].name])),
        ),
      };

const isLoud = (strip: SiteStrip): boolean => strip.overflowRisk >= LOUD_RISK;

/** The head of the columns: each day with the work on it. */
const DaysHead = ({ view }: { readonly view: WeekSheetView }) => (
  <div class="days-head" aria-hidden="true">
    <div class="days-corner" />
    <div class="days-row">
      {view.days.map(({ day, startsAt, endsAt }) => {
        const own = view.rounds.filter(({ round }) => round.day === day);
        const metres = own.reduce((sum, { round }) => sum + round.distanceM, 0);
        const isToday = view.nowAt >= startsAt && view.nowAt < endsAt;
        return (
          <p class={isToday ? 'day-head today' : 'day-head'}>
            <b>{weekday(day)}</b> <span class="day-date">{dayShort(day).replace(/^\S+ /, '')}</span>
            <small>
              {own.length === 0
                ? 'no round'
                : `${number(own.length)} ${own.length === 1 ? 'round' : 'rounds'}, ${km(metres)}`}
            </small>
          </p>
        );
      })}
    </div>
  </div>
);

const StripKey = () => (
  <ul class="key key-line">
    <li>
      <i class="film film-fill" /> film waiting, four chances in five
    </li>
    <li>
      <i class="film film-over" /> over the brim
    </li>
    <li>
      <Sign kind="visit" /> visit
    </li>
    <li>
      <Sign kind="promise" /> promised
    </li>
    <li>
      <Sign kind="usual" /> usual
    </li>
    <li>
      <Sign kind="booking" /> booked
    </li>
    <li>
      <Sign kind="surge" /> surge
    </li>
    <li>
      <i class="film film-closed" /> closed
    </li>
  </ul>
);
