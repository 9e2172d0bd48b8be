/** What an empty database teaches: the way from nothing to a first plan. */
import { Page } from '../shared/page.tsx';

type Step = { readonly what: string; readonly why: string; readonly commands: readonly string[] };

const STEPS: readonly Step[] = [
  {
    what: 'The workshop',
    why: 'its place, time zone, currency, store and grades',
    commands: ['import workshop FILE.json'],
  },
  {
    what: 'The donors’ sites',
    why: 'position, containers, hours and promised pickups',
    commands: ['import sites FILE'],
  },
  {
    what: 'What was picked up so far',
    why: 'as far back as you have it: the estimates learn from every weigh-in',
    commands: ['import weigh-ins FILE'],
  },
  {
    what: 'Vans, drivers and shifts',
    why: 'what can be carried, and when',
    commands: ['import vans FILE', 'import drivers FILE', 'import shifts FILE'],
  },
  {
    what: 'What will be pressed, and what is in store',
    why: 'so that collection keeps pace with production',
    commands: ['import products FILE', 'import production FILE', 'import stock FILE'],
  },
];

export const FirstSteps = ({ heading }: { readonly heading: string }) => (
  <section class="first-steps">
    <h2>{heading}</h2>
    <p class="lead">A week needs five things. Each comes from a file that you probably have.</p>
    <ol>
      {STEPS.map(({ what, why, commands }) => (
        <li>
          <strong>{what}</strong>: {why}
          {commands.map((command) => (
            <>
              <br />
              <code>npx feedround {command}</code>
            </>
          ))}
        </li>
      ))}
    </ol>
    <p>
      All of them in one folder go in at once: <code>npx feedround import folder DIR</code>. The names of the
      columns: <code>npx feedround import --help</code>. Then plan the week here, or with{' '}
      <code>npx feedround plan</code>. To look around first, try the invented town: <code>npm run demo</code>.
    </p>
  </section>
);

/** Before there is a workshop no page has anything to show. */
export const WelcomePage = () => (
  <Page title="Welcome" width="page">
    <h1>Welcome to Feedround</h1>
    <FirstSteps heading="Nothing is in the database yet" />
  </Page>
);
