/** The register as a list: how full each site is, and who needs us first. */
import { ago, dateTime, kg, kgRange, percent } from '../shared/format.ts';
import { Field, Page } from '../shared/page.tsx';
import { SITE_KIND_WORDS } from '../shared/words.ts';
import { DoubtList } from './doubts.tsx';
import { FirstSteps } from './first-steps.tsx';
import { per } from './marks.tsx';
import type { SiteRow, SitesView } from './site-view.ts';
import { LOUD_RISK } from './week-strip.tsx';

const FRAME = { role: 'coordinator', here: '/sites' } as const;

export const SitesPage = ({ view }: { readonly view: SitesView }) => (
  <Page title="Sites" workshop={view.workshop.name} {...FRAME}>
    <h1>Sites</h1>
    {view.registered === 0 ? (
      <FirstSteps heading="No sites yet" />
    ) : (
      <>
        <form method="get" action="/sites" class="search on-screen">
          <Field
            name="q"
            type="search"
            label="Find a site"
            hint="Part of its name, district, donor or key"
            typed={view.search}
          />
          <button type="submit">Find</button>
        </form>
        {view.search === '' && (
          <DoubtList doubts={view.doubts} zone={view.workshop.zone} nowAt={view.nowAt} />
        )}
        <SiteTable view={view} />
        <p>
          <a href="/import">Bring in a file</a> · <a href="/backtest">How good the estimates were so far</a>
        </p>
      </>
    )}
  </Page>
);

const SiteTable = ({ view }: { readonly view: SitesView }) =>
  view.rows.length === 0 ? (
    <p>
      None of the {view.registered} sites fits “{view.search}”. <a href="/sites">Show all</a>
    </p>
  ) : (
    <>
      <p class="soft">
        {view.search === ''
          ? `${view.registered} registered, most urgent first.`
          : `${view.rows.length} of ${view.registered} fit “${view.search}”.`}
      </p>
      <p class="register-row register-head on-screen" aria-hidden="true">
        <span>Site</span>
        <span>Film waiting, and the brim</span>
        <span>Overflow within a week, if nobody calls</span>
        <span>Weighed and next visit</span>
      </p>
      <ul class="register">
        {view.rows.map((row) => (
          <SiteLine row={row} view={view} />
        ))}
      </ul>
    </>
  );

const SiteLine = ({ row, view }: { readonly row: SiteRow; readonly view: SitesView }) => (
  <li class="register-row whole">
    <div>
      <p class="strip-name">
        <a href={`/sites/${row.siteId}`}>{row.name}</a>
      </p>
      <p class="strip-place">{[SITE_KIND_WORDS[row.kind], row.district].filter(Boolean).join(', ')}</p>
    </div>
    <div>
      <FillBar row={row} />
      <p class="small">
        about {kg(row.medianKg)} ({kgRange(row.lowKg, row.highKg)}) of {kg(row.capacityKg)}
        {row.besideKg > 0 && `, up to ${kg(row.besideKg)} beside it`}
      </p>
    </div>
    <p class={row.overflowRisk >= LOUD_RISK ? 'small loud' : 'small soft'}>
      {percent(row.overflowRisk)}{' '}
      <span class="only-narrow">overflow chance within a week, if nobody calls</span>
    </p>
    <p class="small soft">
      {row.lastWeighInAt === undefined ? 'never weighed' : `weighed ${ago(row.lastWeighInAt, view.nowAt)}`}
      <br />
      {row.nextVisitAt === undefined
        ? 'no visit planned'
        : `next ${dateTime(row.nextVisitAt, view.workshop.zone)}`}
    </p>
  </li>
);

/** Four fifths of the bar are the container; the rest is what may stand over the brim. */
const BRIM = 80;

const FillBar = ({ row }: { readonly row: SiteRow }) => {
  const at = (massKg: number) => Math.min(100, (BRIM * massKg) / row.capacityKg);
  return (
    <svg class="fill-bar" width="100%" height="18" aria-hidden="true" focusable="false">
      <rect class="fan fan-fill" x="0" y="3" width={per(at(row.highKg))} height="12" />
      <rect class="fan fan-fill" x="0" y="3" width={per(at(row.lowKg))} height="12" />
      <line class="middle middle-fill" x1={per(at(row.medianKg))} x2={per(at(row.medianKg))} y1="1" y2="17" />
      <line class="ground" x1="0" x2="100%" y1="15.5" y2="15.5" />
      <line class="brim" x1={per(BRIM)} x2={per(BRIM)} y1="0" y2="18" />
    </svg>
  );
};
