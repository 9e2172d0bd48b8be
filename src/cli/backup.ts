import { backUpTo } from '../store/backup.ts';
import { type Command, DATABASE, UsageError } from './command.ts';
import { say, withDatabase } from './workplace.ts';

export const backup: Command = {
  name: 'backup',
  usage: 'FILE',
  summary: 'Writes the whole database, maps included, to one new file; people may go on working meanwhile.',
  options: [DATABASE],
  run: (words) =>
    withDatabase(words, { mayCreate: false }, ({ store }) => {
      const [file] = words.positionals;
      if (file === undefined) throw new UsageError('Where to? Name a file that does not exist yet.');
      backUpTo(store, file);
      say(`Backed up to ${file}. To go back, stop Feedround and put that file in the database's place.`);
      return 0;
    }),
};
