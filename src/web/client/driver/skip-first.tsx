/** What to leave out when the van is full early, and what never: by the plan's own rule, of what is still to do. */
import type { RoundView } from '../../driver/run-view.ts';
import { neverLeftOut } from '../../shared/skip-words.ts';
import { useSheet } from './shown.ts';

export const SkipFirst = ({ round }: { readonly round: RoundView }) => {
  const { say } = useSheet();
  const sites = round.stops.filter((stop) => stop.kind === 'site');
  const open = new Set(sites.filter((stop) => !stop.outcome).map(({ siteId }) => siteId));
  const kept = neverLeftOut(sites, say).filter(({ stop }) => open.has(stop.siteId));
  const first = round.skipFirst.filter(({ siteId }) => open.has(siteId));
  if (first.length === 0 && kept.length === 0) return null;
  return (
    <div class="run-skip">
      <p>
        <b>{say.skip.leaveOutFirst(first.map(({ name }) => name))}</b>{' '}
        {say.skip.never(kept.map(({ stop, why }) => ({ name: stop.name, why })))}
      </p>
      <p>{say.skip.fullMeans(round)}</p>
    </div>
  );
};
