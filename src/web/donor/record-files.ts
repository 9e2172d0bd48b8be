/** A year's record to keep: PDF to read, CSV to reckon with. */
import { type Context, Hono } from 'hono';
import { statementCsv, transfersCsv } from '../../usecases/donor-records/record-csv.ts';
import type { YearRecord } from '../../usecases/donor-records/year-record.ts';
import { refusePage } from '../shared/html-error.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { sayOf } from '../shared/speak.ts';
import type { DonorDeps } from './donor-deps.ts';
import { recordPdf } from './record-pdf.ts';

const YEAR = '/donor/records/:year{[0-9]{4}}';

export const recordFiles = (deps: Pick<DonorDeps, 'readYear'>): Hono<SessionEnv> => {
  const give = async (
    c: Context<SessionEnv>,
    name: string,
    type: string,
    write: (record: YearRecord) => string | Promise<Uint8Array<ArrayBuffer>>,
  ) => {
    const year = Number(c.req.param('year'));
    const record = deps.readYear(c.var.session.subjectId, year);
    if (!record) return refusePage(c, 'not-found', { role: 'donor' });
    return c.body(await write(record), 200, {
      'Content-Type': type,
      'Content-Disposition': `attachment; filename="${name}-${year}.${type === PDF ? 'pdf' : 'csv'}"`,
    });
  };
  return new Hono<SessionEnv>()
    .get(`${YEAR}/record.pdf`, (c) => give(c, 'film', PDF, (record) => recordPdf(record, sayOf(c))))
    .get(`${YEAR}/months.csv`, (c) => give(c, 'film-months', CSV, statementCsv))
    .get(`${YEAR}/transfers.csv`, (c) => give(c, 'film-transfers', CSV, transfersCsv));
};
const PDF = 'application/pdf';
const CSV = 'text/csv; charset=utf-8; header=present';
