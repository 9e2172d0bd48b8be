/**
 * How much one extra collection disturbs a published week: `npm run bench disturbance -- [--sites 60,200,1000]`. Of
 * sites each books alone; counted are other sites that get another day, as what publishes itself has it and as the draft
 * has it that waits for the coordinator.
 */
import { parseArgs } from 'node:util';
import { bookOneByOne, type Disturbed } from '../fixtures/disturbance.ts';

const { values } = parseArgs({ options: { sites: { type: 'string', default: '60,200,1000' } } });

const spread = (counts: readonly number[]): string => {
  const sorted = [...counts].sort((a, b) => a - b);
  const over = sorted.filter((count) => count > 2).length;
  return `median ${sorted[Math.floor(sorted.length / 2)]}, most ${sorted.at(-1)}, above 2 ${over} of ${sorted.length}`;
};
const counted = <T>(all: readonly Disturbed[], of: (one: Disturbed) => T | undefined): T[] =>
  all.flatMap((one) => of(one) ?? []);

for (const sites of values.sites.split(',').map(Number))
  for (const seed of [1, 2]) {
    const all = [...bookOneByOne(seed, { sites, every: Math.ceil(sites / 60), withDraft: true })];
    const itself = counted(all, (one) => one.byItself);
    const drafts = counted(all, (one) => one.byDraft);
    console.log(
      `${sites} sites, town ${seed}: ${all.length} bookings, ${all.length - itself.length} without a day. ` +
        `By itself: ${spread(itself.map(({ others }) => others))}; another hour ${spread(itself.map(({ otherHours }) => otherHours))}; ` +
        `${itself.filter(({ faults }) => faults > 0).length} not accepted by the checker. ` +
        `Drafts: ${spread(drafts.map(({ others }) => others))}`,
    );
  }
