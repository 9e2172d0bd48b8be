/**
 * npm run bench offline -- [COUNT [FIRST]]: drawn mornings of a phone that is mostly away from its network, against the real
 * application (tests/fixtures/interleaving.ts). Says how many went through and what the others lost or doubled.
 */
import { driveMorning } from '../fixtures/interleaving.ts';

const [count = 300, first = 1] = process.argv.slice(2).map(Number);
const begun = process.cpuUsage();
let entered = 0;
let wrongMornings = 0;
for (let seed = first; seed < first + count; seed++) {
  const { facts, wrong } = await driveMorning(seed);
  entered += facts.length;
  if (wrong.length === 0) continue;
  wrongMornings++;
  console.log(`seed ${seed}: ${wrong.join('; ')}`);
}
const { user, system } = process.cpuUsage(begun);
console.log(
  `${count} mornings, ${entered} entries, ${wrongMornings} mornings with something wrong; ${((user + system) / 1e6).toFixed(1)} CPU s`,
);
process.exitCode = wrongMornings === 0 ? 0 : 1;
