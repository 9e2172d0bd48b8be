/** Which visits leave their rounds. */
import { mendRound, type Rounds, unlink } from './rounds.ts';
import type { Work } from './work.ts';

const MEAN_REMOVED = 10;
const LONGEST_STRING = 10;

/** Optional visits left out that an iteration looks at, besides those it took out itself. */
const MOST_LEFT_LOOKED_AT = 30;

/** Takes a string of stops around a seed out of its round and of the rounds of its nearest visits; fills `absent`. */
export function ruin(rounds: Rounds, work: Work): void {
  const { problem, count, round } = rounds;
  const { random, near, nearCount, isFixed, stops, absent } = work;
  const { visits: n } = problem;
  work.count = 0;
  let used = 0;
  let served = 0;
  for (let r = 0; r < problem.vehicles; r++) {
    if (count[r]! > 0) used++;
    served += count[r]!;
  }
  const longest = Math.min(LONGEST_STRING, served / Math.max(1, used));
  const most = (4 * MEAN_REMOVED) / (1 + longest) - 1;
  let strings = Math.floor(random.unit() * most + 1);
  const seed = random.below(n);
  let looked = 0;
  work.stamp++;
  for (let k = -1; k < nearCount; k++) {
    const visit = k < 0 ? seed : near[seed * nearCount + k]!;
    const r = round[visit]!;
    if (r < 0) {
      // Others may have been taken out a moment ago; those are there already.
      if (!problem.mandatory[visit] && looked < MOST_LEFT_LOOKED_AT && !isIn(absent, work.count, visit)) {
        looked++;
        absent[work.count++] = visit;
      }
      continue;
    }
    if (strings === 0 || work.doneAt[r] === work.stamp) continue;
    work.doneAt[r] = work.stamp;
    strings--;
    let length = 0;
    let at = 0;
    for (let u = rounds.next[problem.startNode[r]!]!; u !== problem.endNode[r]; u = rounds.next[u]!) {
      if (u >= n) continue;
      if (u === visit) at = length;
      stops[length++] = u;
    }
    const taken = Math.floor(random.unit() * Math.min(length, longest) + 1);
    const first = Math.max(0, at - taken + 1);
    const last = Math.min(at, length - taken);
    const from = first + random.below(last - first + 1);
    // Half the strings keep a stop in the middle (split string).
    const kept = taken > 1 && random.unit() < 0.5 ? from + random.below(taken) : -1;
    let any = false;
    for (let i = from; i < from + taken; i++) {
      const u = stops[i]!;
      if (i === kept || isFixed[u]) continue;
      unlink(rounds, u);
      absent[work.count++] = u;
      any = true;
    }
    if (any) mendRound(rounds, r);
  }
  for (let v = 0; v < n; v++)
    if (problem.mandatory[v] && round[v]! < 0 && !isIn(absent, work.count, v)) absent[work.count++] = v;
}

function isIn(list: Int32Array, count: number, value: number): boolean {
  for (let i = 0; i < count; i++) if (list[i] === value) return true;
  return false;
}
