import { existsSync, statSync } from 'node:fs';
import { importFolder } from '../usecases/import-folder.ts';
import { type ImportReport, importTable } from '../usecases/import-table.ts';
import { importWorkshop, type WorkshopReport } from '../usecases/import-workshop.ts';
import { TABLE_KINDS, TABLES, type TableKind } from '../usecases/tables/columns.ts';
import { faultText, UnreadableFile } from '../usecases/tables/read-rows.ts';
import { number } from '../web/shared/format.ts';
import { type Command, DATABASE, JSON_OUTPUT, Refusal, UsageError } from './command.ts';
import { progressLine, say, withDatabase } from './workplace.ts';

const kinds = TABLE_KINDS.join(', ');
const isKind = (word: string): word is TableKind => TABLE_KINDS.some((kind) => kind === word);

export const importFile: Command = {
  name: 'import',
  usage: '(workshop FILE.json | KIND FILE | folder DIR) [--dry-run] [--json]',
  summary:
    'Reads the files that a workshop has. Every mistake is named; all or nothing; twice the same file changes nothing.',
  details: [
    `KIND is one of ${kinds}. A folder holds workshop.json and KIND.csv files; they are read in the right order.`,
    ...TABLE_KINDS.map((kind) => `\n${kind}: ${TABLES[kind].about}\n${columnsOf(kind)}`),
  ].join('\n'),
  options: [DATABASE, { name: 'dry-run', about: 'Read and check, keep nothing.' }, JSON_OUTPUT],
  maxWords: 2,
  run: (words) => {
    const [what, path] = words.positionals;
    if (what === undefined || path === undefined)
      throw new UsageError(`Import what? workshop, folder, or one of ${kinds}, and the file.`);
    if (what !== 'workshop' && what !== 'folder' && !isKind(what))
      throw new UsageError(`There is no table "${what}": ${kinds}, workshop or folder.`);
    // Before a database is made for it.
    if (!existsSync(path)) throw new Refusal(`There is no ${what === 'folder' ? 'folder' : 'file'} ${path}.`);
    return withDatabase(words, { mayCreate: true }, async (context) => {
      const line = progressLine();
      const options = { dryRun: words.isOn('dry-run'), actor: 'command-line' };
      const isJson = words.isOn('json');
      try {
        if (what === 'workshop') {
          const report = importWorkshop(context, path, options);
          say(isJson ? JSON.stringify(report, null, 2) : workshopText(report, options.dryRun));
          return 0;
        }
        if (what === 'folder') {
          if (!existsSync(path) || !statSync(path).isDirectory())
            throw new Refusal(`There is no folder ${path}.`);
          const report = await importFolder(context, path, {
            ...options,
            onRows: (kind, rows) => line.show(`${kind}: ${number(rows)} rows`),
          });
          line.clear();
          if (isJson) say(JSON.stringify(report, null, 2));
          else {
            if (report.workshop) say(workshopText(report.workshop, options.dryRun));
            for (const table of report.tables) say(tableText(table, options.dryRun));
          }
          return report.tables.some((table) => table.faultCount > 0) ? 1 : 0;
        }
        const report = await importTable(context, what, path, {
          ...options,
          onRows: (rows) => line.show(`${what}: ${number(rows)} rows`),
        });
        line.clear();
        say(isJson ? JSON.stringify(report, null, 2) : tableText(report, options.dryRun));
        return report.faultCount > 0 ? 1 : 0;
      } catch (error) {
        if (error instanceof UnreadableFile) throw new Refusal(error.message);
        throw error;
      } finally {
        line.clear();
      }
    });
  },
};

function columnsOf(kind: TableKind): string {
  const { columns } = TABLES[kind];
  const width = Math.max(...columns.map((column) => column.name.length));
  return columns
    .map(({ name, isRequired, about }) => `  ${name.padEnd(width)} ${isRequired ? '*' : ' '} ${about}`)
    .join('\n');
}

const workshopText = ({ isNew, isChanged, roads }: WorkshopReport, dryRun: boolean): string =>
  `workshop: ${isNew ? 'new' : isChanged ? 'changed' : 'unchanged'}${roads > 0 ? `, road map with ${number(roads)} places` : ''}${dryRun ? ' (dry run: nothing kept)' : ''}`;

export function tableText(report: ImportReport, dryRun: boolean): string {
  const { kind, rows, added, changed, unchanged, faults, faultCount } = report;
  if (faultCount === 0)
    return `${kind}: ${number(rows)} rows: ${number(added)} added, ${number(changed)} changed, ${number(unchanged)} unchanged${dryRun ? ' (dry run: nothing kept)' : ''}`;
  const more = faultCount - faults.length;
  return [
    `${kind}: ${number(faultCount)} ${faultCount === 1 ? 'mistake' : 'mistakes'} in ${number(rows)} rows; nothing was kept.`,
    ...faults.map((fault) => `  ${faultText(fault)}`),
    ...(more > 0 ? [`  … and ${number(more)} more`] : []),
  ].join('\n');
}
