/** Where a site lies: a form of two coordinates, and a map on which the place can be moved where there is a script. */
import { greatCircleM, isPosition } from '../../../core/quantity/geodesy.ts';
import type { Position } from '../../../core/quantity/units.ts';
import type { FieldErrors, Typed } from '../../shared/form.ts';
import { distance } from '../../shared/format.ts';
import { Field, type Notice, Page } from '../../shared/page.tsx';
import { layOutMap } from './map-layout.ts';
import { MapPicture, PositionMark } from './map-picture.tsx';
import type { PositionView } from './map-view.ts';

const FRAME = {
  role: 'coordinator',
  here: '/sites',
  width: 'sheet',
  scripts: ['map', 'site-position'],
} as const;

type PositionProps = {
  readonly view: PositionView;
  /** What stands in the form: degrees as typed. */
  readonly typed: Typed;
  readonly errors?: FieldErrors;
  readonly notice?: Notice | undefined;
};

export const PositionPage = ({ view, typed, errors = {}, notice }: PositionProps) => {
  const layout = layOutMap(view.map, () => '');
  const shown = view.map.around ?? view.at;
  return (
    <Page title={`Where ${view.name} is`} workshop={view.workshop.name} notice={notice} {...FRAME}>
      <p class="kicker">
        <a href={`/sites/${view.siteId}`}>{view.name}</a>
      </p>
      <h1>Where it is</h1>
      <div class="map-and-list">
        <figure class="map-figure" data-map-figure>
          <MapPicture view={view.map} layout={layout} name={`Map around ${view.name}`}>
            <PositionMark spot={layout.place(shown)} />
          </MapPicture>
          <figcaption class="small soft">
            The ring is where vans are sent.{' '}
            <span data-by-hand hidden>
              Take hold of it, or press on the map where it should be.
            </span>
          </figcaption>
        </figure>
        <form
          method="post"
          action={`/sites/${view.siteId}/position`}
          class="fields"
          data-position
          data-lat={view.at.lat}
          data-lon={view.at.lon}
          data-home-lat={view.map.workshop.at.lat}
          data-home-lon={view.map.workshop.at.lon}
        >
          <p>{view.address || 'No address is known.'}</p>
          <input type="hidden" name="lat_before" value={String(view.at.lat)} />
          <input type="hidden" name="lon_before" value={String(view.at.lon)} />
          <Field
            name="lat"
            label="Latitude"
            hint="Degrees north, such as 46.219712; south is negative"
            inputmode="text"
            typed={typed['lat']}
            error={errors['lat']}
            required
          />
          <Field
            name="lon"
            label="Longitude"
            hint="Degrees east, such as −19.343161; west is negative"
            inputmode="text"
            typed={typed['lon']}
            error={errors['lon']}
            required
          />
          <p class="map-moved-by" aria-live="polite" data-moved-by>
            {movedWords(view.at, shown)}
          </p>
          <div class="actions">
            <button type="submit" class="primary">
              Keep this place
            </button>
            <button type="submit" formmethod="get">
              Look at it first
            </button>
            <a href={`/sites/${view.siteId}`}>Leave it as it was</a>
          </div>
          <p class="hint">The legs to it are worked out anew with the next plan.</p>
        </form>
      </div>
    </Page>
  );
};

const movedWords = (before: Position, now: Position): string => {
  if (!isPosition(now)) return '';
  const metres = Math.round(greatCircleM(before, now));
  return metres === 0 ? 'As the register has it.' : `${distance(metres)} from where the register has it.`;
};
