/**
 * The van as a strip: one segment a stop, in order, solid once it is in, open while it is expected, against the
 * limit of the van. Drawn twice, for litres (film is light, so space is what usually runs out) and for kilograms.
 */
import type { Say } from '../messages/say.ts';
import type { RoundView, SiteStopView } from './run-view.ts';
import { currentTrip, loadAlong, loadedKg } from './van-load.ts';

type Segment = { readonly size: number; readonly isIn: boolean };

const WIDTH = 1000;
const HEIGHT = 30;

const Strip = ({ segments, limit }: { readonly segments: readonly Segment[]; readonly limit: number }) => {
  const total = segments.reduce((sum, { size }) => sum + size, 0);
  // The limit stands where it is even if the load passes it, so an over-full van is seen to stick out.
  const scale = WIDTH / Math.max(limit, total);
  let from = 0;
  return (
    <svg
      class="run-strip"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      preserveAspectRatio="none"
      aria-hidden="true"
      focusable="false"
    >
      <rect class="run-strip-van" x="0" y="0" width={(limit * scale).toFixed(1)} height={HEIGHT} />
      {segments.map(({ size, isIn }) => {
        const x = from * scale;
        from += size;
        const kind = from > limit ? 'run-strip-over' : isIn ? 'run-strip-in' : 'run-strip-due';
        return (
          <rect
            class={kind}
            x={x.toFixed(1)}
            y="4"
            width={Math.max(1, size * scale - 4).toFixed(1)}
            height={HEIGHT - 8}
          />
        );
      })}
      <line
        class="run-strip-limit"
        x1={(limit * scale).toFixed(1)}
        x2={(limit * scale).toFixed(1)}
        y1="0"
        y2={HEIGHT}
      />
    </svg>
  );
};

const segmentsOf = (trip: readonly SiteStopView[], size: (stop: SiteStopView) => number): Segment[] =>
  trip.map((stop) => ({ size: size(stop), isIn: stop.outcome !== undefined })).filter(({ size: s }) => s > 0);

export const LoadStrips = ({ say, round }: { readonly say: Say; readonly round: RoundView }) => {
  const {
    f,
    sheet: { van },
  } = say;
  const { now } = loadAlong(round);
  const trip = currentTrip(round);
  const byKg = segmentsOf(trip, loadedKg);
  const byLitres = segmentsOf(trip, (stop) => loadedKg(stop) * stop.litresPerKg);
  const sum = (segments: readonly Segment[]) => segments.reduce((total, { size }) => total + size, 0);
  return (
    <figure class="run-load">
      <figcaption>
        <b>{van.title}</b> <span class="soft">{van.legend}</span>
      </figcaption>
      <p class="run-load-line">
        <span>
          {van.space} <b>{f.litres(now.litres)}</b> {van.of(f.litres(round.loadSpaceL))}
        </span>
        <span class="soft">{van.inAll(f.litres(sum(byLitres)))}</span>
      </p>
      <Strip segments={byLitres} limit={round.loadSpaceL} />
      <p class="run-load-line">
        <span>
          {van.weight} <b>{f.kg(now.kg)}</b> {van.of(f.kg(round.payloadKg))}
        </span>
        <span class="soft">{van.inAll(f.kg(sum(byKg)))}</span>
      </p>
      <Strip segments={byKg} limit={round.payloadKg} />
    </figure>
  );
};
