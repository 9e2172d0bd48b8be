/** The command line: finds the command, runs it, and turns what goes wrong into a message and an exit code. */
import { readFileSync } from 'node:fs';
import { backtest } from './cli/backtest.ts';
import { backup } from './cli/backup.ts';
import { check } from './cli/check.ts';
import { type Command, helpOf, Refusal, readWords, UsageError } from './cli/command.ts';
import { demo } from './cli/demo.ts';
import { events } from './cli/events.ts';
import { exportFile } from './cli/export.ts';
import { happened } from './cli/happened.ts';
import { importFile } from './cli/import.ts';
import { link } from './cli/link.ts';
import { plan } from './cli/plan.ts';
import { reactions } from './cli/reactions.ts';
import { serve } from './cli/serve.ts';
import { settings } from './cli/settings.ts';
import { simulate } from './cli/simulate.ts';
import { sites } from './cli/sites.ts';
import { whatIf } from './cli/what-if.ts';
import { worth } from './cli/worth.ts';
import { ServeError } from './main.ts';
import { StoreOpenError } from './store/db.ts';
import { NoWorkshopError } from './store/workshop.ts';

export const COMMANDS: readonly Command[] = [
  demo,
  serve,
  importFile,
  exportFile,
  plan,
  whatIf,
  settings,
  sites,
  check,
  backtest,
  simulate,
  happened,
  events,
  reactions,
  worth,
  link,
  backup,
];

/** What SQLite may say of a sound file; its own codes. */
const DATABASE_ADVICE: { readonly [code: string]: string } = {
  SQLITE_BUSY: 'Another command is writing to the database. Wait until it has ended and try again.',
  SQLITE_FULL: 'The disk is full; nothing was kept. Make room and try again.',
  SQLITE_READONLY: 'The database file may not be written. Change its permissions, or name another file.',
};

/** Exit codes: 0 done, 1 refused or faults found, 2 the call's words are off. */
export async function runCommandLine(args: readonly string[]): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || name === '--help' || name === 'help') {
    process.stdout.write(`${overview()}\n`);
    return name === undefined ? 2 : 0;
  }
  if (name === '--version') {
    const { version } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8'));
    process.stdout.write(`${version}\n`);
    return 0;
  }
  const command = COMMANDS.find((known) => known.name === name);
  if (!command) {
    process.stderr.write(`There is no command "${name}".\n\n${overview()}\n`);
    return 2;
  }
  try {
    const words = readWords(command, rest);
    if (words.isOn('help')) {
      process.stdout.write(`${helpOf(command)}\n`);
      return 0;
    }
    return await command.run(words);
  } catch (error) {
    if (error instanceof UsageError) {
      process.stderr.write(`${error.message}\nfeedround ${command.name} ${command.usage}\n`);
      return 2;
    }
    const isExpected =
      error instanceof Refusal ||
      error instanceof NoWorkshopError ||
      error instanceof ServeError ||
      error instanceof StoreOpenError;
    const advice =
      error instanceof Error && 'code' in error ? DATABASE_ADVICE[String(error.code)] : undefined;
    const message =
      advice ??
      (error instanceof Error ? (isExpected ? error.message : (error.stack ?? error.message)) : error);
    process.stderr.write(`${message}\n`);
    return 1;
  }
}

export function overview(): string {
  const width = Math.max(...COMMANDS.map((command) => command.name.length));
  return [
    'feedround COMMAND …',
    '',
    ...COMMANDS.map((command) => `  ${command.name.padEnd(width)}  ${command.summary}`),
    '',
    'feedround COMMAND --help says more.',
  ].join('\n');
}
