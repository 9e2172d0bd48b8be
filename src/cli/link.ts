import { ROLES, type Role } from '../core/vocabulary.ts';
import { environment } from '../main.ts';
import type { Db } from '../store/db.ts';
import { listDonors } from '../store/donors.ts';
import { listDrivers } from '../store/drivers.ts';
import { COORDINATOR_SUBJECT, createLink } from '../usecases/access.ts';
import { type Command, DATABASE, Refusal, UsageError } from './command.ts';
import { say, withDatabase } from './workplace.ts';

export const link: Command = {
  name: 'link',
  usage: 'coordinator | driver KEY | donor KEY',
  summary: 'Makes a private link for one person and prints it, once. Withdraw it on the page of links.',
  options: [DATABASE],
  maxWords: 2,
  run: (words) =>
    withDatabase(words, { mayCreate: false }, (context) => {
      const [role, key] = words.positionals;
      if (!isRole(role)) throw new UsageError(`link is for a ${ROLES.join(', a ')}; which one?`);
      const subjectId = role === 'coordinator' ? COORDINATOR_SUBJECT : findPerson(context.store, role, key);
      const made = createLink(context, { role, subjectId, actor: 'command-line' });
      if (!made.ok) throw new Refusal(`There is no ${role} "${key}".`);
      const { host, port, origin } = environment();
      say(`${origin ?? `http://${host}:${port}`}/enter/${role}/${made.value.token}`);
      // Beside the link, not in it: whoever takes it from here by a script gets the link alone.
      if (role === 'coordinator')
        process.stderr.write('It works once, within a day. For another device make another one.\n');
      return 0;
    }),
};

const isRole = (text: string | undefined): text is Role => ROLES.some((role) => role === text);

function findPerson(db: Db, role: 'driver' | 'donor', key: string | undefined): string {
  const people = role === 'driver' ? listDrivers(db) : listDonors(db);
  const found = people.find((person) => person.key === key);
  if (found) return found.id;
  const known = people.map((person) => person.key).slice(0, 12);
  throw new Refusal(
    `${key === undefined ? `Which ${role}? Give the key` : `There is no ${role} "${key}"`}. Known: ${known.join(', ')}${people.length > known.length ? ', …' : ''}`,
  );
}
