/**
 * What each price and weight of the objective is called, what it means in one sentence, and where its default comes
 * from. How its number is written: objective-amounts.ts.
 */
import type { RegisterPrice, SettingKey } from '../../usecases/change-objective.ts';

/** How a value is written; `per` follows the currency ("EUR per hour"). */
export type Measure =
  | { readonly kind: 'money'; readonly per: string }
  | { readonly kind: 'minutes' }
  | { readonly kind: 'percent' }
  | { readonly kind: 'days' }
  | { readonly kind: 'tries' };

export type SettingWords = {
  readonly name: string;
  readonly measure: Measure;
  /** One plain sentence. */
  readonly explains: string;
  /** Where the default comes from. */
  readonly source: string;
};

const money = (per: string): Measure => ({ kind: 'money', per });
const PERCENT: Measure = { kind: 'percent' };
const MINUTES: Measure = { kind: 'minutes' };
const DAYS: Measure = { kind: 'days' };
const JUDGED = 'Own judgement, no source.';
const SIMULATED = 'Chosen in simulated years (feedround simulate).';

export const SETTING_WORDS: { readonly [key in SettingKey]: SettingWords } = {
  'prices.overtimeMicrosPerHour': {
    name: 'Overtime',
    measure: money('per hour'),
    explains: 'What a driver’s hour after the end of the shift costs on top of the hour itself.',
    source: 'Time and a half of 20 an hour: common practice, no source.',
  },
  'prices.maxOvertimeS': {
    name: 'Longest overtime',
    measure: MINUTES,
    explains: 'A round that would end later than this after its shift is not planned.',
    source: `${JUDGED} Local rules on working hours come first.`,
  },
  'prices.unloadS': {
    name: 'Time to unload',
    measure: MINUTES,
    explains: 'How long the van stands at the workshop each time it is emptied.',
    source: 'Carrying a van-load of sacks by hand: own judgement; time it on a few days and write it here.',
  },
  'prices.unloadMicros': {
    name: 'Hands to unload',
    measure: money('per unloading'),
    explains: 'What the workshop’s own hands cost each time, beside the driver.',
    source: JUDGED,
  },
  'breakRule.maxWorkS': {
    name: 'Work before a break',
    measure: MINUTES,
    explains: 'A break starts before so much driving, waiting and lifting.',
    source:
      'Regulation (EC) 561/2006, Art. 7: 4 h 30 min. Stricter than most rules for small vans; local rules come first.',
  },
  'breakRule.breakS': {
    name: 'Break',
    measure: MINUTES,
    explains: 'How long that break is.',
    source: 'Regulation (EC) 561/2006, Art. 7: 45 min. Local rules come first.',
  },
  'prices.overflowMicros': {
    name: 'A container that overflows',
    measure: money('each time'),
    explains: 'What it is worth to you that a container does not run over at all.',
    source: 'A value that worked in the first experiments; no published source.',
  },
  'prices.overflowMicrosPerDay': {
    name: 'A day of overflow',
    measure: money('per day'),
    explains:
      'What each further day of standing full costs in goodwill; the donor may call the rubbish collector.',
    source: 'The same experiments: priced once only, containers were left full for weeks.',
  },
  'prices.overflowMicrosPerKg': {
    name: 'Film lost',
    measure: money('per kg'),
    explains: 'What a kilogram that no longer fits and is thrown away costs.',
    source: 'About what buying a kilogram of good film in costs: own judgement.',
  },
  'calls.reliability': {
    name: 'Donors who call in time',
    measure: PERCENT,
    explains:
      'How often a donor who can be reached says that the container is getting full before it overflows. Each site’s own record moves it up or down; 0 % counts on nobody.',
    source: `${SIMULATED} Higher waits too long, lower drives more than it saves.`,
  },
  'calls.fromShare': {
    name: 'They call when it is',
    measure: PERCENT,
    explains: 'How full a container is when a donor calls.',
    source: SIMULATED,
  },
  'calls.premiumMicros': {
    name: 'A visit after a call',
    measure: money('each'),
    explains: 'What such a visit costs more than one that was planned.',
    source: 'About a quarter of an hour of van and driver: own judgement.',
  },
  'prices.storeOverflowMicrosPerKgDay': {
    name: 'More than the store holds',
    measure: money('per kg and day'),
    explains: 'What a kilogram in the wrong place costs: moving it twice, blocked doors.',
    source: 'Upper end of what the first experiments used; no published source.',
  },
  'prices.contaminationShare': {
    name: 'Thrown out after sorting',
    measure: PERCENT,
    explains: 'The part of what is collected that never reaches the press.',
    source: 'Shop drop-off film, county study, Washington State 2015: 3.70 % by mass.',
  },
  'prices.endValueShare': {
    name: 'Stock left at the end',
    measure: PERCENT,
    explains:
      'What film in store after the last planned day is worth, in per cent of its price of buying in.',
    source: `${JUDGED} At 0 % a plan lives for today.`,
  },
  'prices.endCoverDays': {
    name: 'Stock counts up to',
    measure: DAYS,
    explains: 'Film beyond so many days of production is worth nothing more to a plan.',
    source: 'The first experiments; no published source.',
  },
  'prices.brokenPromiseMicros': {
    name: 'A broken promise',
    measure: money('each'),
    explains: 'What it costs not to come when a rule or a booking said so.',
    source: 'Dearer than any detour of a day, for a donor let down twice is lost: own judgement.',
  },
  'prices.brokenHabitMicros': {
    name: 'A usual pickup left out',
    measure: money('each'),
    explains: 'A habit may move, but for a reason worth at least this.',
    source: 'About a quarter of an hour of a driver: own judgement.',
  },
  'prices.changeMicros': {
    name: 'A change to what was published',
    measure: money('per visit'),
    explains:
      'What moving, adding or dropping a published visit costs today; half of it tomorrow, a third the day after.',
    source: 'In experiments 8 halved the changes for 0.4 % more km; a little less here: own judgement.',
  },
  loadQuantile: {
    name: 'Loads are planned at',
    measure: PERCENT,
    explains:
      'How sure it must be that what waits fits into the van: 50 % plans with the expected load, 80 % leaves room in four rounds of five. Below 50 % a van is more often full before its last stop than not, and leaves those stops to the next plan. The weight limit of the van holds whatever is set here.',
    source: `${SIMULATED} A van that fills early comes home and unloads, so room kept free costs about 7 % more km.`,
  },
  'prices.commonSd': {
    name: 'Weather common to all',
    measure: PERCENT,
    explains: 'How far all sites together may bring more or less than expected: weather, holidays, season.',
    source: 'The estimator’s own tests: 5 to 6 %.',
  },
  horizonDays: {
    name: 'Days planned ahead',
    measure: DAYS,
    explains: 'Further ahead sees fuller containers coming, but the sheet gets wider and the search longer.',
    source:
      'A week, as it is pinned up: common practice. In experiments with 60 sites 10 days had a quarter fewer days of overflow than 7; at 28 sites a van it made no difference.',
  },
  searchIterations: {
    name: 'Tries of a search',
    measure: { kind: 'tries' },
    explains: 'How long the planner searches before it shows its plan; it can be stopped earlier.',
    source: 'Near the long-run result for a few dozen sites, in a few seconds (npm run bench planner).',
  },
};

export type SettingGroup = {
  readonly id: string;
  readonly title: string;
  readonly lead: string;
  /** Whose prices of the register stand on top. */
  readonly register: readonly RegisterPrice['kind'][];
  readonly keys: readonly SettingKey[];
};

export const SETTING_GROUPS: readonly SettingGroup[] = [
  {
    id: 'driving',
    title: 'Driving and hours',
    lead: 'What a round itself costs.',
    register: ['van', 'driver'],
    keys: [
      'prices.overtimeMicrosPerHour',
      'prices.maxOvertimeS',
      'prices.unloadS',
      'prices.unloadMicros',
      'breakRule.maxWorkS',
      'breakRule.breakS',
    ],
  },
  {
    id: 'overflow',
    title: 'Containers that overflow',
    lead: 'Raise these and the vans come earlier and drive more; lower them and they come later.',
    register: [],
    keys: [
      'prices.overflowMicros',
      'prices.overflowMicrosPerDay',
      'prices.overflowMicrosPerKg',
      'calls.reliability',
      'calls.fromShare',
      'calls.premiumMicros',
    ],
  },
  {
    id: 'production',
    title: 'Production and the store',
    lead: 'A shortage costs what buying the missing film in costs.',
    register: ['grade'],
    keys: [
      'prices.storeOverflowMicrosPerKgDay',
      'prices.contaminationShare',
      'prices.endValueShare',
      'prices.endCoverDays',
    ],
  },
  {
    id: 'promises',
    title: 'Promises, habits and changes',
    lead: 'What was said to donors and drivers holds unless breaking it is worth this much.',
    register: [],
    keys: ['prices.brokenPromiseMicros', 'prices.brokenHabitMicros', 'prices.changeMicros'],
  },
  {
    id: 'caution',
    title: 'Caution and search',
    lead: 'How sure, how far ahead, how long.',
    register: [],
    keys: ['loadQuantile', 'prices.commonSd', 'horizonDays', 'searchIterations'],
  },
];

export const REGISTER_WORDS: {
  readonly [kind in RegisterPrice['kind']]: { readonly measure: Measure; readonly explains: string };
} = {
  van: {
    measure: money('per km'),
    explains: 'Fuel, tyres, wear and what the van loses in value on the way.',
  },
  driver: {
    measure: money('per hour'),
    explains: 'From leaving the workshop to being back, with all that an employer pays.',
  },
  grade: {
    measure: money('per kg'),
    explains: 'What this grade costs to buy in when production would stand still.',
  },
};
