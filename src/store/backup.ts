/** A copy of the live database in one file, whole as of one instant, while others read and write. */
import { existsSync } from 'node:fs';
import type { Store } from './db.ts';

/**
 * Writes the copy to `path`, which must not exist yet: an older backup is never overwritten. (`VACUUM INTO`; the
 * driver's own page-by-page backup never ended while others wrote.)
 */
export function backUpTo(store: Store, path: string): void {
  if (existsSync(path)) throw new RangeError(`${path} exists already. Name a new file for the backup.`);
  store.$client.prepare('VACUUM INTO ?').run(path);
}
