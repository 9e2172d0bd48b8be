/** The register and everything else that is kept in tables: read whole, written row by row under the user's keys. */
import { type OpenAPIHono, z } from '@hono/zod-openapi';
import { rowsOf } from '../../usecases/export-table.ts';
import { importRows } from '../../usecases/import-table.ts';
import type { TableKind as Kind } from '../../usecases/tables/columns.ts';
import { problem } from '../shared/problem.ts';
import type { SessionEnv } from '../shared/session.ts';
import type { ApiDeps } from './api-deps.ts';
import { toJson } from './json.ts';
import { declare } from './route.ts';
import { TableBody, TableKind, TableReport, TableRows } from './schemas.ts';

const Params = z.object({ kind: TableKind });

const readTable = declare({
  method: 'get',
  path: '/api/tables/{kind}',
  operationId: 'readTable',
  summary: 'All rows of a table, under the names of its columns',
  tag: 'register',
  status: 200,
  answer: TableRows,
  params: Params,
});

const writeTable = declare({
  method: 'post',
  path: '/api/tables/{kind}',
  operationId: 'writeTable',
  summary: 'Adds or changes rows by their keys: all of them or none, with every mistake named',
  tag: 'register',
  status: 200,
  answer: TableReport,
  params: Params,
  body: TableBody,
});

export function tablesApi(app: OpenAPIHono<SessionEnv>, { context }: ApiDeps): void {
  app.openapi(readTable, (c) => {
    const { kind } = c.req.valid('param');
    return c.json({ rows: [...rowsOf(context.store, kind as Kind)] }, 200);
  });
  app.openapi(writeTable, (c) => {
    const { kind } = c.req.valid('param');
    const body = c.req.valid('json');
    const rows = body.rows.map((row, i) => ({
      line: i + 1,
      cells: Object.fromEntries(Object.entries(row).map(([name, value]) => [name, cellText(value)])),
    }));
    const report = importRows(context, kind as Kind, rows, {
      dryRun: body.dry_run,
      actor: c.var.session.label || 'coordinator',
    });
    if (report.faultCount > 0)
      return problem(c, 'invalid-body', {
        errors: report.faults.map(({ line, column, mend }) => ({
          detail: mend,
          pointer: `#/rows/${line - 1}/${column}`,
        })),
      }) as never;
    return c.json(toJson(report) as z.output<typeof TableReport>, 200);
  });
}

const cellText = (value: string | number | boolean | null): string =>
  value === null ? '' : value === true ? 'yes' : value === false ? 'no' : String(value);
