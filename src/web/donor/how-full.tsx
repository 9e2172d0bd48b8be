/** How full we think a site is, and three presses that say otherwise. */
import type { Say } from '../messages/say.ts';
import { localDay } from '../shared/format.ts';
import type { DonorSiteView, DonorWorkshop } from './donor-view.ts';
import { FillPicture } from './fill-picture.tsx';

/** What may be said: the estimator takes each as "at least so much is there". */
export const SAID_FRACTIONS = { half: 0.5, most: 0.75, full: 1 } as const;
export type SaidFull = keyof typeof SAID_FRACTIONS;

type Props = {
  readonly say: Say;
  readonly site: DonorSiteView;
  readonly workshop: DonorWorkshop;
  readonly factId: string;
};

export const HowFull = ({ say, site, workshop: { zone }, factId }: Props) => {
  const { fill, lastPickup } = site;
  const { donor, words } = say;
  const { full } = donor;
  return (
    <div class="donor-full">
      <h3>{full.title}</h3>
      <div class="donor-full-both">
        <FillPicture say={say} fill={fill} />
        <div>
          <p class="donor-fullness">{full.name(fill.medianKg / fill.capacityKg)}</p>
          <p>
            {full.about}
            <b>{words.bags(Math.round(fill.medianKg / fill.bagKg))}</b>
            {full.range(fill, fill.medianKg)}
          </p>
          {fill.fullAt !== undefined && <p>{full.fullBy(localDay(fill.fullAt, zone))}</p>}
          <p class="hint">{full.restsOn(fill.basis.weighIns, lastPickup, zone)}</p>
        </div>
      </div>
      {fill.said && <p class="donor-said">{full.said(fill.said.at, fill.said.fraction, zone)}</p>}
      {(fill.said?.fraction ?? 0) < 1 && <Presses say={say} site={site} factId={factId} />}
    </div>
  );
};

/** Only what is more than we take it to be, and more than was said before. */
const Presses = ({ say: { donor }, site, factId }: Omit<Props, 'workshop'>) => {
  const { fill } = site;
  const known = Math.max(fill.said?.fraction ?? 0, fill.medianKg / fill.capacityKg);
  const offered = (Object.keys(SAID_FRACTIONS) as SaidFull[]).filter(
    (name) => name === 'full' || SAID_FRACTIONS[name] > known,
  );
  return (
    <form method="post" action={`/donor/sites/${site.siteId}/full`}>
      <input type="hidden" name="factId" value={factId} />
      <p>
        <b>{donor.full.ask}</b>
      </p>
      <p class="actions">
        {offered.map((name) => (
          <button type="submit" name="said" value={name}>
            {donor.full.press[name]}
            <span class="unseen">{donor.at(site.name)}</span>
          </button>
        ))}
      </p>
      <p class="hint">{donor.full.hint}</p>
    </form>
  );
};
