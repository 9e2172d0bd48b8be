/** What an empty database teaches: the way from nothing to a first plan. */
import type { Child } from 'hono/jsx';
import { Page } from '../shared/page.tsx';

const FRAME = { role: 'coordinator' } as const;

type Step = {
  readonly what: string;
  readonly why: string;
  readonly ways: readonly (readonly [string, string])[];
};

const STEPS: readonly Step[] = [
  {
    what: 'The workshop',
    why: 'its place, time zone, currency, store and grades',
    ways: [['/workshop', 'Describe it']],
  },
  {
    what: 'The donors’ sites',
    why: 'position, containers, hours and promised pickups',
    ways: [['/import/sites', 'Bring in a file']],
  },
  {
    what: 'What was picked up so far',
    why: 'as far back as you have it: the estimates learn from every weigh-in',
    ways: [['/import/weigh-ins', 'Bring in a file']],
  },
  {
    what: 'Vans, drivers and shifts',
    why: 'what can be carried, and when',
    ways: [
      ['/fleet/vans/new', 'A van'],
      ['/fleet/drivers/new', 'A driver'],
      ['/fleet', 'Their shifts'],
    ],
  },
  {
    what: 'What will be pressed, and what is in store',
    why: 'so that collection keeps pace with production',
    ways: [
      ['/import/products', 'Products'],
      ['/import/production', 'Production'],
      ['/import/stock', 'Stock'],
    ],
  },
];

/** @param isOpen whether the steps after the first can be taken yet */
export const FirstSteps = ({
  heading,
  isOpen = true,
}: {
  readonly heading: string;
  readonly isOpen?: boolean;
}) => (
  <section class="first-steps">
    <h2>{heading}</h2>
    <p class="lead">A week needs five things. Most come from a file that you probably have.</p>
    <ol>
      {STEPS.map(({ what, why, ways }, i) => (
        <li>
          <strong>{what}</strong>: {why}
          <p class="actions">
            {ways.map(
              ([path, label]): Child =>
                isOpen || i === 0 ? (
                  <a class={isOpen ? undefined : 'button'} href={path}>
                    {label}
                  </a>
                ) : (
                  <span class="soft">{label}</span>
                ),
            )}
          </p>
        </li>
      ))}
    </ol>
    <p>
      Then <a href="/week">plan the week</a>. All files in one folder go in at once:{' '}
      <code>npx feedround import folder DIR</code>. To look around first, try the invented town:{' '}
      <code>npm run demo</code>.
    </p>
  </section>
);

/** Before there is a workshop no page has anything to show. */
export const WelcomePage = () => (
  <Page title="Welcome" width="page" {...FRAME}>
    <h1>Welcome to Feedround</h1>
    <FirstSteps heading="Nothing is in the database yet" isOpen={false} />
  </Page>
);
