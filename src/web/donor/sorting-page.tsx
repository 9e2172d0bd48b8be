/** What we can take and what not, with drawings; fits one sheet of A4 for the yard. */
import type { Child } from 'hono/jsx';
import type { Say } from '../messages/say.ts';
import { Page } from '../shared/page.tsx';
import { telUri } from '../shared/uris.ts';
import type { DonorWorkshop } from './donor-view.ts';

const FRAME = { role: 'donor', here: '/donor' } as const;

type Props = { readonly say: Say; readonly workshop: DonorWorkshop };

export const SortingPage = ({ say, workshop }: Props) => {
  const { sorting, donor } = say;
  const tel = telUri(workshop.phone);
  return (
    <Page title={sorting.title} say={say} workshop={workshop.name} {...FRAME}>
      <p class="on-screen">
        <a href="/donor">{donor.back}</a>
      </p>
      <h1>{sorting.title}</h1>
      <p class="lead">{sorting.lead}</p>
      <div class="sorting">
        <List title={sorting.yes} words={sorting.take} pictures={TAKE} look="sorting-yes" />
        <List title={sorting.no} words={sorting.leave} pictures={LEAVE} look="sorting-no" />
      </div>
      <h2>{sorting.how}</h2>
      <ol class="sorting-steps">
        {sorting.steps.map((step) => (
          <li>{step}</li>
        ))}
      </ol>
      <p class="sorting-safety">
        <b>{sorting.safety}</b> {tel && <a href={tel}>{workshop.phone}</a>}
      </p>
      <p class="hint on-screen">{sorting.print}</p>
    </Page>
  );
};

const List = <Key extends string>({
  title,
  words,
  pictures,
  look,
}: {
  readonly title: string;
  readonly words: { readonly [key in Key]: string };
  readonly pictures: { readonly [key in Key]: string };
  readonly look: string;
}) => (
  <section class={look}>
    <h2>{title}</h2>
    <ul>
      {(Object.keys(words) as Key[]).map((key) => (
        <li>
          <Picture>
            <path d={pictures[key]} />
          </Picture>
          <span>{words[key]}</span>
        </li>
      ))}
    </ul>
  </section>
);

const Picture = ({ children }: { readonly children?: Child }) => (
  <svg viewBox="0 0 48 48" aria-hidden="true" focusable="false">
    {children}
  </svg>
);

/** Line drawings, one path each, in a square of 48. */
const TAKE: { readonly [key in keyof Say['sorting']['take']]: string } = {
  wrap: 'M8 40h32M8 44h32M10 40V16c6-4 8 2 14-1 6 3 8-3 14 1v24M10 24c8 4 20-4 28 0M10 32c8 4 20-4 28 0M16 14V6h16v8M24 6v8',
  bags: 'M12 18h24l3 26H9zM18 18V9c0-4 4-4 4 0v9M26 18V9c0-4 4-4 4 0v9M16 30c4 3 10-3 16 0',
  covers: 'M24 12V9a3 3 0 1 0-3-3M24 12l14 8v24H10V20zM10 20h28M16 28v12M24 26v16M32 28v12',
  shrink:
    'M7 22h34v20H7zM12 22V12h6v10M21 22V12h6v10M30 22V12h6v10M13 12V8h4v4M22 12V8h4v4M31 12V8h4v4M10 30l8-5M10 36l14-9',
  bubble:
    'M6 10h36v28H6zM13 17a3 3 0 1 0 .1 0M24 17a3 3 0 1 0 .1 0M35 17a3 3 0 1 0 .1 0M13 27a3 3 0 1 0 .1 0M24 27a3 3 0 1 0 .1 0M35 27a3 3 0 1 0 .1 0',
};
const LEAVE: { readonly [key in keyof Say['sorting']['leave']]: string } = {
  strapping: 'M8 16h32v24H8zM18 16v24M30 16v24M18 16l4-8M30 16l4-8M15 24h6v6h-6zM27 24h6v6h-6z',
  pvc: 'M8 14h32l-4 28H12zM8 14l6-6h20l6 6M18 22v12M18 22h4a3 3 0 0 1 0 7h-4M33 24c-6-4-9 10 0 8',
  food: 'M14 6v14M10 6v9c0 4 8 4 8 0V6M14 20v22M32 6c-6 0-6 16 0 18v18M32 6v18M6 44h36',
  foil: 'M14 6h20l-3 5 3 5v20l-3 3 3 5H14l3-5-3-3V16l3-5zM18 20h12M18 32c4-6 8 6 12 0',
  hard: 'M18 6h8v6l4 6v24H14V18l4-6zM14 26h16M34 28h10l-2 14h-6zM33 28h12',
  sharps: 'M8 40L30 18M26 14l8 8M30 18l6-6M33 9l6 6M14 34l4 4M6 42l2-2M38 26l4 14-12-4z',
};
