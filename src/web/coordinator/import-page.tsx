/** Files into the register: what a table holds, what a file would change, and every mistake with its mend. */
import type { ImportReport } from '../../usecases/import-table.ts';
import { TABLE_KINDS, TABLES, type TableKind } from '../../usecases/tables/columns.ts';
import { faultText } from '../../usecases/tables/read-rows.ts';
import { number } from '../shared/format.ts';
import { type Notice, Page } from '../shared/page.tsx';

export const IMPORT_FRAME = { role: 'coordinator', here: '/sites' } as const;

/** In the order in which one needs the other. */
const ORDER: readonly TableKind[] = [
  'sites',
  'weigh-ins',
  'vans',
  'drivers',
  'shifts',
  'products',
  'production',
  'stock',
  'surges',
];
export const TABLE_WORDS: { readonly [kind in TableKind]: { readonly title: string; readonly why: string } } =
  {
    sites: { title: 'Sites', why: 'The donors’ places: position, containers, hours, promised pickups.' },
    'weigh-ins': {
      title: 'Weigh-ins',
      why: 'What was picked up so far. The estimates learn from every row.',
    },
    vans: { title: 'Vans', why: 'What each may carry, and what a kilometre costs.' },
    drivers: { title: 'Drivers', why: 'Who drives.' },
    shifts: { title: 'Shifts', why: 'Who drives which van on which day.' },
    products: { title: 'Products', why: 'How much film of which grade a unit takes.' },
    production: { title: 'Production', why: 'How many units are pressed on which day.' },
    stock: { title: 'Stock', why: 'What lies in the store.' },
    surges: { title: 'Surges', why: 'Festivals and other bursts of film to come.' },
  };

type WorkshopName = { readonly name: string };

export const ImportPage = ({
  workshop,
  counts,
  notice,
}: {
  readonly workshop: WorkshopName;
  /** Rows that are there, by table. */
  readonly counts: { readonly [kind in TableKind]: number };
  readonly notice?: Notice | undefined;
}) => (
  <Page title="Files in" workshop={workshop.name} notice={notice} {...IMPORT_FRAME}>
    <h1>Bring in a file</h1>
    <p class="lead">
      A table as CSV, or sites as GeoJSON. It is checked first: you see what would change, and every mistake,
      before anything is kept. The same file twice changes nothing.
    </p>
    <ul class="tables-in">
      {ORDER.map((kind) => (
        <li>
          <h2>
            <a href={`/import/${kind}`}>{TABLE_WORDS[kind].title}</a>
          </h2>
          <p>{TABLE_WORDS[kind].why}</p>
          <p class="soft small">
            {counts[kind] === 0 ? 'Nothing there yet' : `${number(counts[kind])} there`}
          </p>
        </li>
      ))}
    </ul>
  </Page>
);

export const ImportTablePage = ({
  workshop,
  kind,
  notice,
}: {
  readonly workshop: WorkshopName;
  readonly kind: TableKind;
  readonly notice?: Notice | undefined;
}) => {
  const { about, columns } = TABLES[kind];
  return (
    <Page title={TABLE_WORDS[kind].title} workshop={workshop.name} notice={notice} {...IMPORT_FRAME}>
      <Kicker />
      <h1>{TABLE_WORDS[kind].title} from a file</h1>
      <p class="lead">{about}</p>
      <form method="post" action={`/import/${kind}`} enctype="multipart/form-data" class="fields import-form">
        <div class="field">
          <label for="file">The file</label>
          <p class="hint" id="file-hint">
            CSV in UTF-8, cut at commas, semicolons or tabs{kind === 'sites' && ', or GeoJSON'}. At most 20
            MB.
          </p>
          <input
            id="file"
            name="file"
            type="file"
            accept=".csv,.txt,.tsv,.json,.geojson,text/csv,application/geo+json"
            aria-describedby="file-hint"
            required
          />
        </div>
        <p class="actions">
          <button type="submit" class="primary">
            Check it
          </button>
          <span class="soft small">Nothing is kept yet.</span>
        </p>
      </form>
      <h2>Its columns</h2>
      <p>The first line names them, in any order. Columns that are not needed may be missing.</p>
      <table>
        <thead>
          <tr>
            <th scope="col">Column</th>
            <th scope="col">Needed</th>
            <th scope="col">What goes in</th>
          </tr>
        </thead>
        <tbody>
          {columns.map((column) => (
            <tr>
              <td>
                <code>{column.name}</code>
              </td>
              <td>{column.isRequired ? 'yes' : <span class="soft">no</span>}</td>
              <td>{column.about}</td>
            </tr>
          ))}
        </tbody>
      </table>
      <p>
        <a href={`/import/${kind}/example.csv`} download>
          An empty file with these columns
        </a>
      </p>
    </Page>
  );
};

/** What a checked file would do. */
export const ImportPreviewPage = ({
  workshop,
  kind,
  name,
  uploadId,
  report,
}: {
  readonly workshop: WorkshopName;
  readonly kind: TableKind;
  readonly name: string;
  readonly uploadId: string;
  readonly report: ImportReport;
}) => {
  const changes = report.added + report.changed;
  return (
    <Page title={TABLE_WORDS[kind].title} workshop={workshop.name} {...IMPORT_FRAME}>
      <Kicker />
      <h1>{name}</h1>
      {report.faultCount > 0 ? (
        <Faults report={report} kind={kind} />
      ) : (
        <>
          <p class="lead">
            {counted(report.rows, 'row')} read, no mistake found.{' '}
            {changes === 0
              ? 'All of it is there already: nothing would change.'
              : `${number(report.added)} new, ${number(report.changed)} changed, ${number(report.unchanged)} there already.`}
          </p>
          {changes > 0 && (
            <form method="post" action={`/import/${kind}/${uploadId}`} class="actions">
              <button type="submit" class="primary">
                Keep {counted(changes, 'row')}
              </button>
              <a href={`/import/${kind}`}>Leave it</a>
            </form>
          )}
          {changes === 0 && (
            <p>
              <a href="/import">Bring in another file</a>
            </p>
          )}
        </>
      )}
    </Page>
  );
};

const Faults = ({ report, kind }: { readonly report: ImportReport; readonly kind: TableKind }) => (
  <>
    <p class="notice notice-warning" role="alert">
      {counted(report.faultCount, 'mistake')} in {counted(report.rows, 'row')}. Nothing was kept: mend the
      file, and bring it in again.
    </p>
    <ol class="import-faults">
      {report.faults.map((fault) => (
        <li>{faultText(fault)}</li>
      ))}
    </ol>
    {report.faultCount > report.faults.length && (
      <p>And {number(report.faultCount - report.faults.length)} more.</p>
    )}
    <p class="actions">
      <a class="button" href={`/import/${kind}`}>
        Bring it in again
      </a>
    </p>
  </>
);

const Kicker = () => (
  <p class="kicker">
    <a href="/import">Bring in a file</a>
  </p>
);

const counted = (count: number, one: string): string => `${number(count)} ${count === 1 ? one : `${one}s`}`;

export const isTableKind = (text: string | undefined): text is TableKind =>
  TABLE_KINDS.some((kind) => kind === text);
