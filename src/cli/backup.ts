import { existsSync } from 'node:fs';
import { dirname } from 'node:path';
import { backUpTo } from '../store/backup.ts';
import { type Command, DATABASE, Refusal, UsageError } from './command.ts';
import { say, withDatabase } from './workplace.ts';

export const backup: Command = {
  name: 'backup',
  usage: 'FILE',
  summary: 'Writes the whole database, maps included, to one new file; people may go on working meanwhile.',
  options: [DATABASE],
  maxWords: 1,
  run: (words) =>
    withDatabase(words, { mayCreate: false }, ({ store }) => {
      const [file] = words.positionals;
      if (file === undefined) throw new UsageError('Where to? Name a file that does not exist yet.');
      if (existsSync(file)) throw new Refusal(`${file} exists already. Name a new file for the backup.`);
      if (!existsSync(dirname(file)))
        throw new Refusal(`There is no folder ${dirname(file)}. Create it, or name another file.`);
      backUpTo(store, file);
      say(`Backed up to ${file}. To go back, stop Feedround and put that file in the database's place.`);
      return 0;
    }),
};
