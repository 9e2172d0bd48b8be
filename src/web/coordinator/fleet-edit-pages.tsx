/** One shift, one van, one driver: what stands, and a form to change it. */
import { clock } from '../../core/calendar/zone.ts';
import { SelectField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { dateTime, dayLong } from '../shared/format.ts';
import { Field, type Notice, Page } from '../shared/page.tsx';
import { FLEET_FRAME } from './fleet-page.tsx';
import type { DriverView, Frame, ShiftView, VanView } from './fleet-view.ts';

type Edit = { readonly typed: Typed; readonly errors?: FieldErrors; readonly notice?: Notice | undefined };

const Kicker = () => (
  <p class="kicker">
    <a href="/fleet">Vans, drivers and shifts</a>
  </p>
);

export const ShiftPage = ({ view, typed, errors = {}, notice }: Edit & { readonly view: ShiftView }) => (
  <Page title="Shift" workshop={view.workshop.name} width="narrow" notice={notice} {...FLEET_FRAME}>
    <Kicker />
    <h1>
      {view.driverName}, {dayLong(view.day)}
    </h1>
    <p class="lead">
      {clock(view.startsMinute)} to {clock(view.endsMinute)} with {view.vanName}.{' '}
      {view.isAway && 'Called off: the driver is away.'}
    </p>
    {view.round && (
      <p>
        <a href={`/rounds/${view.round.id}`}>
          {view.round.stops} {view.round.stops === 1 ? 'stop is' : 'stops are'} published for it
        </a>
        . What you change here is looked at at once: a draft mends what no longer fits, and waits for you.
      </p>
    )}
    {view.isOver ? (
      <p>These hours are over.</p>
    ) : view.isOnTheRoad ? (
      <p>
        The round is on the road. If it cannot go on, say{' '}
        <a href="/happened/van-off-road">that the van is off the road</a>.
      </p>
    ) : view.isAway ? (
      <form method="post" action={`/fleet/shifts/${view.shiftId}/back`} class="actions">
        <button type="submit" class="primary">
          {view.driverName} can drive after all
        </button>
      </form>
    ) : (
      <>
        <form method="post" action={`/fleet/shifts/${view.shiftId}`} class="fields">
          <h2>Change it</h2>
          <SelectField
            name="driver"
            label="Driver"
            options={view.drivers.map(({ id, name }) => ({ value: id, label: name }))}
            typed={typed['driver']}
            error={errors['driver']}
          />
          <SelectField
            name="van"
            label="Van"
            options={view.vans.map(({ id, name }) => ({ value: id, label: name }))}
            typed={typed['van']}
            error={errors['van']}
          />
          <div class="fleet-pair">
            <Field name="starts" type="time" label="From" typed={typed['starts']} error={errors['starts']} />
            <Field name="ends" type="time" label="To" typed={typed['ends']} error={errors['ends']} />
          </div>
          <p class="actions">
            <button type="submit" class="primary">
              Keep
            </button>
          </p>
        </form>
        <form method="post" action={`/fleet/shifts/${view.shiftId}/away`} class="fields">
          <h2>{view.driverName} cannot come</h2>
          <Field
            name="reason"
            label="Why (may be left empty)"
            hint="It stands in the journal, which is kept for ever: nothing private."
            typed={typed['reason']}
          />
          <p class="actions">
            <button type="submit">Call the shift off</button>
          </p>
        </form>
      </>
    )}
  </Page>
);

/** Without a view it is a new one. */
export const VanPage = ({
  view,
  workshop,
  typed,
  errors = {},
  notice,
}: Edit & { readonly view?: VanView | undefined; readonly workshop: Frame }) => (
  <Page
    title={view?.name ?? 'A new van'}
    workshop={workshop.name}
    width="narrow"
    notice={notice}
    {...FLEET_FRAME}
  >
    <Kicker />
    <h1>{view?.name ?? 'A new van'}</h1>
    {view && <OnTheRoad view={view} />}
    <form method="post" action={`/fleet/vans/${view?.vanId ?? 'new'}`} class="fields">
      <Field name="name" label="What people call it" typed={typed['name']} error={errors['name']} />
      <Field
        name="payload_kg"
        label="It may carry, kg"
        hint="The permitted laden mass on its plate less the kerb mass, the driver and the fuel. Never plan on more."
        inputmode="decimal"
        typed={typed['payload_kg']}
        error={errors['payload_kg']}
      />
      <Field
        name="load_space_l"
        label="Load space, litres"
        hint="Length × width × height inside, in centimetres, divided by 1,000."
        inputmode="decimal"
        typed={typed['load_space_l']}
        error={errors['load_space_l']}
      />
      <Field
        name="cost_per_km"
        label={`A kilometre costs, ${workshop.currency}`}
        hint="Fuel, wear and tyres; not the driver."
        inputmode="decimal"
        typed={typed['cost_per_km']}
        error={errors['cost_per_km']}
      />
      <Field
        name="check_due"
        type="date"
        label="The next safety check is due (may be left empty)"
        hint="Of the law or of your own rule. You are reminded 30 days before."
        typed={typed['check_due']}
        error={errors['check_due']}
      />
      <p class="actions">
        <button type="submit" class="primary">
          Keep
        </button>
      </p>
    </form>
  </Page>
);

const OnTheRoad = ({ view }: { readonly view: VanView }) =>
  view.offRoadFromAt === undefined ? (
    <p>
      It is on the road. <a href="/happened/van-off-road">It breaks down or goes to the garage</a>
    </p>
  ) : (
    <form method="post" action={`/fleet/vans/${view.vanId}/back`} class="actions">
      <span>Off the road from {dateTime(view.offRoadFromAt, view.workshop.zone)}.</span>
      <button type="submit">It can drive again</button>
    </form>
  );

/** Without a view it is a new one. */
export const DriverPage = ({
  view,
  workshop,
  typed,
  errors = {},
  notice,
}: Edit & { readonly view?: DriverView | undefined; readonly workshop: Frame }) => (
  <Page
    title={view?.name ?? 'A new driver'}
    workshop={workshop.name}
    width="narrow"
    notice={notice}
    {...FLEET_FRAME}
  >
    <Kicker />
    <h1>{view?.name ?? 'A new driver'}</h1>
    <form method="post" action={`/fleet/drivers/${view?.driverId ?? 'new'}`} class="fields">
      <Field name="name" label="Name" typed={typed['name']} error={errors['name']} />
      <Field
        name="email"
        type="email"
        label="E-mail (may be left empty)"
        hint="For word of new run sheets."
        typed={typed['email']}
        error={errors['email']}
      />
      <Field
        name="cost_per_hour"
        label={`An hour costs, ${workshop.currency}`}
        hint="With everything that the workshop pays on top."
        inputmode="decimal"
        typed={typed['cost_per_hour']}
        error={errors['cost_per_hour']}
      />
      <p class="actions">
        <button type="submit" class="primary">
          Keep
        </button>
      </p>
    </form>
  </Page>
);
