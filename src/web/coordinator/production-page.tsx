/** Production and the store: what will be pressed, what that draws, and how long the film lasts. */
import { dateTime, dayShort, kg, number } from '../shared/format.ts';
import { Page } from '../shared/page.tsx';
import { gradeName, STOCK_WORDS } from '../shared/words.ts';
import { SheetDefs } from './marks.tsx';
import { Outlook } from './production-outlook.tsx';
import type { ProductionView } from './production-view.ts';
import { BandChart, GradeRow, StockTable } from './week-band.tsx';
import { BRIM_Y } from './week-strip.tsx';

const FRAME = { role: 'coordinator', here: '/production' } as const;

export const ProductionPage = ({ view }: { readonly view: ProductionView }) => (
  <Page title="Production and stock" workshop={view.workshop.name} {...FRAME}>
    <SheetDefs brimY={BRIM_Y} />
    <h1>Production and stock</h1>
    {view.runs.length === 0 && view.stock.openingKg === 0 ? (
      <Nothing />
    ) : (
      <>
        <p class="lead">
          {kg(view.stock.openingKg)} in the store, {kg(drawnKg(view))} to be drawn in {view.days.length} days.
          The store holds up to {kg(view.storeLimitKg)}.
        </p>
        <div class="week">
          <div class="row band">
            <div class="row-label">
              <h2 class="row-title">All film</h2>
            </div>
            <BandChart line={view.stock} days={view.days} storeLimitKg={view.storeLimitKg} />
          </div>
          <StockTable line={view.stock} days={view.days} dated />
          <ul class="rows grades">
            {view.grades.map((line) => (
              <GradeRow line={line} days={view.days} />
            ))}
          </ul>
        </div>
        {view.outlook ? (
          <Outlook outlook={view.outlook} currency={view.workshop.currency} />
        ) : (
          <p>
            Nothing is planned to arrive yet. <a href="/week">Plan the week</a>, and this page says whether
            the film will last and what production could shift.
          </p>
        )}
        <div class="two">
          <div>
            <h2>Runs</h2>
            <Runs view={view} />
            <p class="actions after on-screen">
              <a class="button" href="/happened/production-day-pressed">
                Units were pressed
              </a>
              <a class="button" href="/happened/production-day-changed">
                Change a day
              </a>
            </p>
          </div>
          <div>
            <h2>Latest movements</h2>
            <Movements view={view} />
            <p class="actions after on-screen">
              <a class="button" href="/happened/film-delivered">
                Film was brought
              </a>
              <a class="button" href="/happened/stock-counted">
                Stock was counted
              </a>
              <a href="/happened/take-back-received">Take-back came</a>
            </p>
          </div>
        </div>
      </>
    )}
  </Page>
);

const drawnKg = (view: ProductionView): number => view.stock.days.reduce((sum, day) => sum + day.drawKg, 0);

const Nothing = () => (
  <p class="lead">
    Nothing is planned and nothing is in the store yet. Production comes from a file with product, day and
    units: <code>npx feedround import production FILE</code>. Without it the plan only keeps containers from
    overflowing.
  </p>
);

const Runs = ({ view }: { readonly view: ProductionView }) =>
  view.runs.length === 0 ? (
    <p class="after">No run in these days.</p>
  ) : (
    <table class="after">
      <thead>
        <tr>
          <th scope="col">Day</th>
          <th scope="col">Product</th>
          <th scope="col" class="number">
            Units
          </th>
          <th scope="col" class="number">
            Film
          </th>
        </tr>
      </thead>
      <tbody>
        {view.runs.map((run) => (
          <tr>
            <td>{dayShort(run.day)}</td>
            <td>
              {run.product}
              {run.isDone && <span class="soft"> (pressed)</span>}
            </td>
            <td class="number">{number(run.units)}</td>
            <td class="number">{kg(run.needKg)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );

const Movements = ({ view }: { readonly view: ProductionView }) =>
  view.movements.length === 0 ? (
    <p class="after">None yet.</p>
  ) : (
    <>
      <MovementTable rows={view.movements.slice(0, MOVEMENTS_SHOWN)} zone={view.workshop.zone} />
      {view.movements.length > MOVEMENTS_SHOWN && (
        <details>
          <summary>{view.movements.length - MOVEMENTS_SHOWN} earlier ones</summary>
          <MovementTable rows={view.movements.slice(MOVEMENTS_SHOWN)} zone={view.workshop.zone} />
        </details>
      )}
    </>
  );

const MOVEMENTS_SHOWN = 16;

const MovementTable = ({
  rows,
  zone,
}: {
  readonly rows: ProductionView['movements'];
  readonly zone: string;
}) => (
  <table class="after">
    <thead>
      <tr>
        <th scope="col">When</th>
        <th scope="col">What</th>
        <th scope="col" class="number">
          Film
        </th>
      </tr>
    </thead>
    <tbody>
      {rows.map((row) => (
        <tr>
          <td class="nowrap">{dateTime(row.at, zone)}</td>
          <td>
            {gradeName(row.grade)}, {STOCK_WORDS[row.kind]}
            {row.note && <small class="soft"> {row.note}</small>}
          </td>
          <td class="number">{kg(row.kg)}</td>
        </tr>
      ))}
    </tbody>
  </table>
);
