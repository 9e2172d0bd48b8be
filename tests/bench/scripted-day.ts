/** `npm run bench scripted-day -- [--from 1] [--days 200]`: shuffled days on the demo town, and what did not hold. */
import { parseArgs } from 'node:util';
import { liveThrough } from '../fixtures/scripted-day.ts';

const { values } = parseArgs({
  options: { from: { type: 'string', default: '1' }, days: { type: 'string', default: '200' } },
});
const from = Number(values.from);
let broken = 0;
let plans = 0;
let bookings = 0;
for (let seed = from; seed < from + Number(values.days); seed++) {
  const lived = await liveThrough(seed);
  plans += lived.plansChecked;
  bookings += lived.confirmed;
  broken += lived.broken.length;
  if (seed % 20 === 0) console.log(`day ${seed}: ${broken} faults so far`);
  for (const fault of lived.broken) console.log(`day ${seed}: ${fault}`);
}
const { user, system } = process.cpuUsage();
console.log(
  `${values.days} days from ${from}: ${broken} faults; ${plans} plans checked, ${bookings} bookings stood at the end; ${((user + system) / 1e6).toFixed(0)} CPU s`,
);
