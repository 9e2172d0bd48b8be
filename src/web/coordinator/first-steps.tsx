/** What an empty register teaches: the way from nothing to a first plan. */
export const FirstSteps = () => (
  <section class="first-steps">
    <h2>No sites yet</h2>
    <p class="lead">A week needs four things. Each comes from a file you probably have.</p>
    <ol>
      <li>
        <strong>The donors’ sites</strong>, with position, containers and hours:{' '}
        <code>npx feedround import sites FILE</code>
      </li>
      <li>
        <strong>What was picked up so far</strong>, as far back as you have it:{' '}
        <code>npx feedround import weigh-ins FILE</code>
      </li>
      <li>
        <strong>Vans, drivers and shifts</strong>: <code>npx feedround import shifts FILE</code>
      </li>
      <li>
        <strong>What will be pressed</strong>: <code>npx feedround import production FILE</code>
      </li>
    </ol>
    <p>
      Then <code>npx feedround plan</code>, or the button that will stand here. To look around first, try the
      invented town: <code>npm run demo</code>.
    </p>
  </section>
);
