/**
 * Whoever has a mail of an address says what this address wants to be told from now on; drivers and the coordinator reach
 * the same page from theirs, so that they need not wait for the first mail.
 */
import { ok, type Result, refuse } from '../../core/quantity/result.ts';
import type { Role, WordChoice } from '../../core/vocabulary.ts';
import { type Db, inTransaction } from '../../store/db.ts';
import { getDriver, listDrivers } from '../../store/drivers.ts';
import { appendEntry } from '../../store/journal.ts';
import { markUnsaid, wordsFor } from '../../store/outbox.ts';
import { listSites } from '../../store/sites.ts';
import { type ChoiceOfAddress, getChoiceByToken, saveChoice } from '../../store/word-choices.ts';
import { requireWorkshop } from '../../store/workshop.ts';
import type { Context } from '../context.ts';
import { choiceOf, inSmallLetters } from './queue-word.ts';

export type Chosen = { readonly choice: WordChoice; readonly remindDayBefore: boolean };

/** With what the address is written to as: a driver may be a donor's contact as well. */
export function findChoice(
  { store }: Context,
  token: string,
): (ChoiceOfAddress & { readonly roles: readonly Role[] }) | undefined {
  const choice = getChoiceByToken(store, token);
  return choice && { ...choice, roles: rolesOf(store, choice.address) };
}

function rolesOf(db: Db, address: string): Role[] {
  const has = (addresses: readonly string[]): boolean => inSmallLetters(addresses).includes(address);
  const roles: Role[] = [];
  if (has([requireWorkshop(db).settings.word.email])) roles.push('coordinator');
  if (has(listDrivers(db).map(({ email }) => email))) roles.push('driver');
  if (has(listSites(db).flatMap(({ contacts }) => contacts.map(({ email }) => email)))) roles.push('donor');
  return roles;
}

/** The key to the own choice of a driver, or of the workshop's address. */
export function openOwnChoice(
  { store, now, newId }: Context,
  { role, subjectId }: { readonly role: 'coordinator' | 'driver'; readonly subjectId: string },
): Result<{ readonly token: string }, { readonly kind: 'no-address' }> {
  return inTransaction(store, (tx) => {
    const email =
      role === 'driver' ? getDriver(tx, subjectId)?.email : requireWorkshop(tx).settings.word.email;
    const [address] = inSmallLetters([email ?? '']);
    return address === undefined
      ? refuse({ kind: 'no-address' })
      : ok({ token: choiceOf(tx, address, now(), newId).token });
  });
}

export function chooseWord(
  { store, now }: Context,
  { token, ...chosen }: Chosen & { readonly token: string },
): Result<ChoiceOfAddress, { readonly kind: 'no-such-choice' }> {
  return inTransaction(store, (tx) => {
    const before = getChoiceByToken(tx, token);
    if (!before) return refuse({ kind: 'no-such-choice' });
    if (before.choice === chosen.choice && before.remindDayBefore === chosen.remindDayBefore)
      return ok(before);
    const at = now();
    const after = { ...before, ...chosen, changedAt: at };
    saveChoice(tx, after);
    // What waits already is wanted no more than what would come.
    if (chosen.choice === 'none')
      markUnsaid(
        tx,
        wordsFor(tx, before.address).map((word) => word.id),
        'not-wanted',
      );
    appendEntry(tx, {
      at,
      kind: 'word-choice-changed',
      subject: `address:${before.address}`,
      actor: before.address,
      facts: chosen,
    });
    return ok(after);
  });
}
