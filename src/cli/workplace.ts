/** What every command that touches the database needs: open it, say names, close it whatever happens. */
import { existsSync } from 'node:fs';
import { environment, openWorkplace } from '../main.ts';
import type { Db } from '../store/db.ts';
import { listDrivers } from '../store/drivers.ts';
import { listSites } from '../store/sites.ts';
import { listVans } from '../store/vans.ts';
import { requireWorkshop } from '../store/workshop.ts';
import type { Context } from '../usecases/context.ts';
import { Refusal, type Words } from './command.ts';
import type { Names } from './print-plan.ts';

export const databasePath = (words: Words): string => words.text('db') ?? environment().databasePath;

/** Runs `work` on the database named by the words. Reading needs a file that is there; importing may make one. */
export async function withDatabase<T>(
  words: Words,
  { mayCreate }: { readonly mayCreate: boolean },
  work: (context: Context) => Promise<T> | T,
): Promise<T> {
  const path = databasePath(words);
  if (!mayCreate && !existsSync(path))
    throw new Refusal(
      `There is no database at ${path}. Import the workshop first (feedround import workshop FILE.json), name another file with --db, or try the demo.`,
    );
  const { context, close } = openWorkplace(path);
  try {
    return await work(context);
  } finally {
    close();
  }
}

export function readNames(db: Db): Names {
  const { name, zone, currency } = requireWorkshop(db);
  const sites = new Map(listSites(db).map((site) => [site.id, site.name]));
  const vans = new Map(listVans(db).map((van) => [van.id, van.name]));
  const drivers = new Map(listDrivers(db).map((driver) => [driver.id, driver.name]));
  return {
    workshop: name,
    zone,
    currency,
    site: (id) => sites.get(id) ?? id,
    van: (id) => vans.get(id) ?? id,
    driver: (id) => drivers.get(id) ?? id,
  };
}

export const say = (text: string): void => {
  process.stdout.write(`${text}\n`);
};

/** Where the work stands, on one line that is written over; nothing where nobody watches. */
export function progressLine(): {
  readonly isWatched: boolean;
  readonly show: (text: string) => void;
  readonly clear: () => void;
} {
  const isWatched = process.stderr.isTTY === true;
  return {
    isWatched,
    show: (text) => {
      if (isWatched) process.stderr.write(`\r\u001b[K${text}`);
    },
    clear: () => {
      if (isWatched) process.stderr.write('\r\u001b[K');
    },
  };
}
