/** The pages that take files into the register. Mounted with the coordinator's other pages. */
import { type Context, Hono } from 'hono';
import { csvHeader } from '../../usecases/export-table.ts';
import type { ImportReport } from '../../usecases/import-table.ts';
import type { Upload } from '../../usecases/import-upload.ts';
import type { TableKind } from '../../usecases/tables/columns.ts';
import { refusePage } from '../shared/html-error.tsx';
import { idParam } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import type { SessionEnv } from '../shared/session.ts';
import { WelcomePage } from './first-steps.tsx';
import { ImportPage, ImportPreviewPage, ImportTablePage, isTableKind, TABLE_WORDS } from './import-page.tsx';

export type ImportDeps = {
  workshopName(): string | undefined;
  countRows(): { readonly [kind in TableKind]: number };
  putUpload(file: {
    readonly kind: TableKind;
    readonly name: string;
    readonly bytes: Uint8Array;
  }): Promise<Upload>;
  findUpload(id: string): Upload | undefined;
  dropUpload(id: string): Promise<void>;
  /** A file that cannot be read at all answers the sentence about it. */
  importUpload(
    upload: Upload,
    options: { readonly dryRun: boolean; readonly actor: string },
  ): Promise<ImportReport | string>;
};

const BACK = { path: '/import', label: 'To the files' };
const GONE =
  'The checked file waited for an hour, or the server was started anew. Bring it in again; nothing was kept.';

const actorOf = (c: Context<SessionEnv>): string => c.var.session.label || 'coordinator';

export const importPages = (deps: ImportDeps): Hono<SessionEnv> => {
  const workshop = () => ({ name: deps.workshopName() ?? '' });
  const notThere = (c: Context<SessionEnv>) =>
    refusePage(c, 'not-found', { role: 'coordinator', back: BACK });
  return new Hono<SessionEnv>()
    .on(['GET', 'POST'], ['/import', '/import/*'], (c, next) =>
      deps.workshopName() === undefined ? c.html(<WelcomePage />) : next(),
    )
    .get('/import', (c) => {
      const kind = c.req.query('kept');
      const text = `${isTableKind(kind) ? TABLE_WORDS[kind].title : 'It'} came in. The estimates and the next plan follow.`;
      const notice: Notice | undefined = kind === undefined ? undefined : { kind: 'done', text };
      return c.html(<ImportPage workshop={workshop()} counts={deps.countRows()} notice={notice} />);
    })
    .get('/import/:kind', (c) => {
      const kind = c.req.param('kind');
      return isTableKind(kind) ? c.html(<ImportTablePage workshop={workshop()} kind={kind} />) : notThere(c);
    })
    .get('/import/:kind/example.csv', (c) => {
      const kind = c.req.param('kind');
      if (!isTableKind(kind)) return notThere(c);
      c.header('Content-Type', 'text/csv; charset=utf-8');
      c.header('Content-Disposition', `attachment; filename="${kind}.csv"`);
      return c.body(csvHeader(kind));
    })
    .post('/import/:kind', async (c) => {
      const kind = c.req.param('kind');
      if (!isTableKind(kind)) return notThere(c);
      const { file } = await c.req.parseBody();
      const again = (text: string) =>
        c.html(<ImportTablePage workshop={workshop()} kind={kind} notice={{ kind: 'warning', text }} />, 422);
      if (!(file instanceof File) || file.size === 0) return again('Choose a file that is not empty.');
      const upload = await deps.putUpload({
        kind,
        name: file.name,
        bytes: new Uint8Array(await file.arrayBuffer()),
      });
      const report = await deps.importUpload(upload, { dryRun: true, actor: actorOf(c) });
      if (typeof report === 'string') {
        await deps.dropUpload(upload.id);
        return again(report);
      }
      if (report.faultCount > 0) await deps.dropUpload(upload.id);
      const view = { workshop: workshop(), kind, name: upload.name, uploadId: upload.id, report };
      return c.html(<ImportPreviewPage {...view} />, report.faultCount > 0 ? 422 : 200);
    })
    .post('/import/:kind/:id', async (c) => {
      const upload = deps.findUpload(idParam(c) ?? '');
      if (!upload || upload.kind !== c.req.param('kind'))
        return refusePage(c, 'out-of-date', { detail: GONE, role: 'coordinator', back: BACK });
      const report = await deps.importUpload(upload, { dryRun: false, actor: actorOf(c) });
      await deps.dropUpload(upload.id);
      if (typeof report === 'string')
        return refusePage(c, 'cannot-be-done', { detail: report, role: 'coordinator', back: BACK });
      if (report.isKept) return c.redirect(`/import?kept=${upload.kind}`, 303);
      const { kind, name, id: uploadId } = upload;
      const view = { workshop: workshop(), kind, name, uploadId, report };
      return c.html(<ImportPreviewPage {...view} />, 422);
    });
};
