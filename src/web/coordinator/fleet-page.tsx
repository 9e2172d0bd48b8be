/** Vans, drivers and shifts: two weeks as a calendar, a form to arrange shifts, and the register of both. */
import { addDays, clock, daysFrom } from '../../core/calendar/zone.ts';
import type { LocalDay } from '../../core/quantity/units.ts';
import { CheckBox, SelectField } from '../shared/controls.tsx';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { dateTime, dayShort, dayYearShort, duration, kg, litres, weekdayLong } from '../shared/format.ts';
import { Field, type Notice, Page } from '../shared/page.tsx';
import { WEEKDAYS } from './fleet-form.ts';
import type { DriverRow, FleetView, ShiftChip, VanRow } from './fleet-view.ts';
import { mondayOf } from './read-fleet.ts';

export const FLEET_FRAME = { role: 'coordinator', here: '/fleet' } as const;
/** Enough to find a garage. */
const CHECK_SOON_DAYS = 30;

type FleetProps = {
  readonly view: FleetView;
  readonly typed: Typed;
  readonly errors?: FieldErrors;
  readonly notice?: Notice | undefined;
};

export const FleetPage = ({ view, typed, errors = {}, notice }: FleetProps) => (
  <Page
    title="Vans, drivers and shifts"
    workshop={view.workshop.name}
    width="sheet"
    notice={notice}
    {...FLEET_FRAME}
  >
    <h1>Vans, drivers and shifts</h1>
    <Attention view={view} />
    <WeekLinks view={view} />
    {view.weeks.map((week) => (
      <WeekTable week={week} view={view} />
    ))}
    <div class="two">
      <section>
        <h2>Vans</h2>
        <Vans view={view} />
        <p class="actions after on-screen">
          <a class="button" href="/fleet/vans/new">
            A new van
          </a>
        </p>
        <h2>Drivers</h2>
        <Drivers view={view} />
        <p class="actions after on-screen">
          <a class="button" href="/fleet/drivers/new">
            A new driver
          </a>
          <a href="/links">Private links to run sheets</a>
        </p>
      </section>
      <Arrange view={view} typed={typed} errors={errors} />
    </div>
  </Page>
);

/** What cannot wait: vans off the road, and checks that are due. */
const Attention = ({ view: { vans, today, workshop } }: { readonly view: FleetView }) => {
  const soon = addDays(today, CHECK_SOON_DAYS);
  const due = vans.filter(({ checkDueDay }) => checkDueDay !== undefined && checkDueDay <= soon);
  const off = vans.filter(({ offRoadFromAt }) => offRoadFromAt !== undefined);
  if (due.length + off.length === 0) return null;
  return (
    <ul class="fleet-attention">
      {off.map((van) => (
        <li>
          <strong>{van.name}</strong> is off the road from {dateTime(van.offRoadFromAt!, workshop.zone)}.{' '}
          <a href={`/fleet/vans/${van.vanId}`}>Put it back</a>
        </li>
      ))}
      {due.map((van) => (
        <li>
          <strong>{van.name}</strong>:{' '}
          {van.checkDueDay! < today ? 'the safety check was due on ' : 'the safety check is due on '}
          {dayYearShort(van.checkDueDay!)}
          {van.checkDueDay! < today &&
            '. Whether it may drive until then is for the rules of your place to say'}
          . <a href={`/fleet/vans/${van.vanId}`}>Note the next one</a>
        </li>
      ))}
    </ul>
  );
};

const WeekLinks = ({ view: { weeks, today } }: { readonly view: FleetView }) => (
  <nav class="actions on-screen" aria-label="Weeks">
    <a href={`/fleet?from=${addDays(weeks[0]!, -7 * weeks.length)}`}>Earlier weeks</a>
    {weeks[0] !== mondayOf(today) && <a href="/fleet">This week</a>}
    <a href={`/fleet?from=${addDays(weeks[0]!, 7 * weeks.length)}`}>Later weeks</a>
  </nav>
);

const WeekTable = ({ week, view }: { readonly week: LocalDay; readonly view: FleetView }) => {
  const days = daysFrom(week, 7);
  return (
    <table class="fleet-week">
      <caption>
        Week from {dayYearShort(week)}
        {week === mondayOf(view.today) && ', this week'}
      </caption>
      <thead>
        <tr>
          <th scope="col">Van</th>
          {days.map((day) => (
            <th scope="col" class={day === view.today ? 'fleet-today' : undefined}>
              {dayShort(day)}
              {day === view.today && <small> today</small>}
            </th>
          ))}
        </tr>
      </thead>
      <tbody>
        {view.vans.map((van) => (
          <tr>
            <th scope="row">
              <a href={`/fleet/vans/${van.vanId}`}>{van.name}</a>
            </th>
            {days.map((day) => (
              <DayCell van={van} day={day} isToday={day === view.today} />
            ))}
          </tr>
        ))}
      </tbody>
    </table>
  );
};

const DayCell = ({
  van,
  day,
  isToday,
}: {
  readonly van: VanRow;
  readonly day: LocalDay;
  readonly isToday: boolean;
}) => {
  const shifts = van.shifts.get(day) ?? [];
  const isOff = van.offRoadFromDay !== undefined && day >= van.offRoadFromDay;
  return (
    <td class={isToday ? 'fleet-today' : undefined}>
      <span class="fleet-day">{dayShort(day)}</span>
      {isOff && <span class="fleet-off">off the road</span>}
      {shifts.map((shift) => (
        <Chip shift={shift} />
      ))}
      {shifts.length === 0 && !isOff && <span class="soft">no shift</span>}
    </td>
  );
};

const Chip = ({ shift }: { readonly shift: ShiftChip }) => (
  <a class={shift.isAway ? 'fleet-shift fleet-away' : 'fleet-shift'} href={`/fleet/shifts/${shift.shiftId}`}>
    <span>{shift.driverName}</span>{' '}
    <small>
      {clock(shift.startsMinute)}–{clock(shift.endsMinute)}
      {shift.isAway
        ? ', away'
        : shift.stops === undefined
          ? ''
          : `, ${shift.stops} ${shift.stops === 1 ? 'stop' : 'stops'}`}
    </small>
  </a>
);

const Vans = ({ view: { vans } }: { readonly view: FleetView }) =>
  vans.length === 0 ? (
    <p class="after">No van yet. A plan needs at least one, with a driver and a shift.</p>
  ) : (
    <section class="scroll" aria-label="Vans" tabindex={0}>
      <table class="after">
        <thead>
          <tr>
            <th scope="col">Van</th>
            <th scope="col" class="number">
              May carry
            </th>
            <th scope="col" class="number">
              Load space
            </th>
            <th scope="col">Next safety check</th>
          </tr>
        </thead>
        <tbody>
          {vans.map((van) => (
            <tr>
              <td>
                <a href={`/fleet/vans/${van.vanId}`}>{van.name}</a>
              </td>
              <td class="number">{kg(van.payloadKg)}</td>
              <td class="number">{litres(van.loadSpaceL)}</td>
              <td>
                {van.checkDueDay === undefined ? (
                  <span class="soft">not noted</span>
                ) : (
                  dayYearShort(van.checkDueDay)
                )}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </section>
  );

const Drivers = ({ view: { drivers, weeks } }: { readonly view: FleetView }) =>
  drivers.length === 0 ? (
    <p class="after">No driver yet.</p>
  ) : (
    <>
      <section class="scroll" aria-label="Drivers" tabindex={0}>
        <table class="after">
          <caption>Hours of shifts in each week</caption>
          <thead>
            <tr>
              <th scope="col">Driver</th>
              {weeks.map((week) => (
                <th scope="col" class="number">
                  From {dayShort(week)}
                </th>
              ))}
              <th scope="col">Away</th>
            </tr>
          </thead>
          <tbody>
            {drivers.map((driver) => (
              <DriverLine driver={driver} />
            ))}
          </tbody>
        </table>
      </section>
      <p class="soft small">
        They are not hours of driving. The rules of your place on driving, hours and rest come first.
      </p>
    </>
  );

const DriverLine = ({ driver }: { readonly driver: DriverRow }) => (
  <tr>
    <td>
      <a href={`/fleet/drivers/${driver.driverId}`}>{driver.name}</a>
    </td>
    {driver.weekS.map((seconds) => (
      <td class="number">{seconds === 0 ? <span class="soft">none</span> : duration(seconds)}</td>
    ))}
    <td>
      {driver.awayDays.length === 0 ? <span class="soft">no</span> : driver.awayDays.map(dayShort).join(', ')}
    </td>
  </tr>
);

const Arrange = ({
  view,
  typed,
  errors,
}: {
  readonly view: FleetView;
  readonly typed: Typed;
  readonly errors: FieldErrors;
}) => (
  <section class="on-screen" id="arrange">
    <h2>Arrange shifts</h2>
    {view.vans.length === 0 || view.drivers.length === 0 ? (
      <p class="after">Shifts need a van and a driver in the register first.</p>
    ) : (
      <form method="post" action="/fleet/shifts" class="fields fleet-form">
        <input type="hidden" name="factId" value={typed['factId'] ?? ''} />
        <SelectField
          name="driver"
          label="Driver"
          empty="Choose a driver"
          options={view.drivers.map((one) => ({ value: one.driverId, label: one.name }))}
          typed={typed['driver']}
          error={errors['driver']}
        />
        <SelectField
          name="van"
          label="Van"
          empty="Choose a van"
          options={view.vans.map((one) => ({ value: one.vanId, label: one.name }))}
          typed={typed['van']}
          error={errors['van']}
        />
        <div class="fleet-pair">
          <Field name="starts" type="time" label="From" typed={typed['starts']} error={errors['starts']} />
          <Field name="ends" type="time" label="To" typed={typed['ends']} error={errors['ends']} />
        </div>
        <div class="fleet-pair">
          <Field name="from" type="date" label="First day" typed={typed['from']} error={errors['from']} />
          <Field
            name="until"
            type="date"
            label="Last day (leave empty for one day)"
            typed={typed['until']}
            error={errors['until']}
          />
        </div>
        <fieldset>
          <legend>On which weekdays between them</legend>
          <p class="hint">None ticked means every day.</p>
          <div class="fleet-weekdays">
            {WEEKDAYS.map((weekday, index) => (
              <CheckBox name={weekday} label={weekdayName(index)} typed={typed[weekday]} />
            ))}
          </div>
        </fieldset>
        <p class="actions">
          <button type="submit" class="primary">
            Arrange
          </button>
        </p>
      </form>
    )}
  </section>
);

/** A day of a known Monday's week, to be named. */
const A_MONDAY = '2026-06-15';
const weekdayName = (index: number): string => weekdayLong(addDays(A_MONDAY, index));
