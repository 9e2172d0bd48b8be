/** The run sheet on a phone: what waits and what is handed in, the number pad, and what else a driver may say. */
import type { Instant, Kg } from '../../../core/quantity/units.ts';
import type { MissedReason, RejectReason, RoundMark } from '../../../core/vocabulary.ts';
import { formatsIn, NBSP, time } from '../formats.ts';

const f = formatsIn('en');
const count = (n: number, one: string, many: string): string =>
  `${f.number(n)}${NBSP}${n === 1 ? one : many}`;

export const sheet = {
  opening: 'The run sheet is being opened.',
  plain: 'Page without scripts',
  noSheet: 'This phone has no run sheet yet. Open it once where there is a network.',
  noRound: 'No round is planned for you today.',

  // ---- what waits, what is in ----
  handedIn: (n: number): string => `${f.number(n)} handed in`,
  waiting: (n: number): string => `${f.number(n)} waiting for signal`,
  sending: (n: number): string => `${f.number(n)} on the way`,
  nothingWaits: 'Nothing waits.',
  refusedCount: (n: number): string => `${f.number(n)} not taken: look below`,
  othersWait: (n: number): string =>
    `${count(n, 'entry', 'entries')} of another driver on this phone: handed in when that driver comes in here.`,
  sheetOf: (at: Instant, zone: string): string => `Sheet of ${time(at, zone)}`,
  tryNow: 'Try now',
  state: {
    waiting: 'waits for signal',
    'handed-in': 'handed in',
    refused: 'not taken',
    'set-aside': 'left as it is',
  },
  signedOut:
    'The workshop does not know this phone any more. What you entered is kept here and waits. Ask the workshop for a new link, and open it on this phone.',

  // ---- the phone's own troubles ----
  storageFull:
    'This phone has no room left: the entry could not be kept. Write it on paper, free some room on the phone, then enter it again.',
  storageShort: (mb: number): string =>
    `Only about ${f.number(mb)}${NBSP}MB are left on this phone. Free some room before the round goes on.`,
  storageLost: (n: number): string =>
    `The phone has thrown away its store: ${count(n, 'entry', 'entries')} that waited ${n === 1 ? 'is' : 'are'} gone. Enter from paper or memory what is missing below.`,
  notPersistent:
    'This phone may throw away what waits when its room runs short. Put the sheet on its home screen.',

  // ---- a plan that changed ----
  changed: 'The plan has changed',
  changedKept: 'You still go by the old sheet. What you entered stays, whichever you take.',
  takeNew: 'Take the new sheet',
  change: {
    'stop-added': (name: string): string => `New: ${name}`,
    'stop-gone': (name: string): string => `Not any more: ${name}`,
    'stop-moved': (name: string, from: string, to: string): string => `${name}: ${to} in place of ${from}`,
    'other-order': 'The stops are in another order',
    'other-van': (vanName: string): string => `Another van: ${vanName}`,
    'round-added': 'A new round',
    'round-gone': 'The round is off',
  },

  // ---- the sheet ----
  next: 'Next stop',
  stopOf: (n: number, of: number): string => `Stop ${n} of ${of}`,
  about: (amount: string): string => `About ${amount}`,
  weighIn: 'Weigh in',
  notCollected: 'Not collected',
  thenComes: 'Then',
  doneStops: (n: number): string => `${count(n, 'stop', 'stops')} done`,
  allDone: 'Every stop is done.',
  doNext: 'Go there next',
  look: 'Look or correct',
  likely: (at: string): string => `likely ${at}`,
  planned: (at: string): string => `planned ${at}`,
  more: 'More',
  unload: 'Unload and weigh the load',
  extra: 'A donor waves: add a stop',
  offRoad: 'The van cannot go on',
  callWorkshop: 'Call the workshop',
  back: 'Back to the sheet',
  mark: {
    started: 'I am leaving now',
    paused: 'Pause',
    resumed: 'Go on',
    finished: 'Finish the round',
  } satisfies { readonly [mark in RoundMark]: string },
  marked: {
    started: 'Left at',
    paused: 'Pause since',
    resumed: 'Went on at',
    finished: 'Finished at',
  } satisfies { readonly [mark in RoundMark]: string },
  stillOpen: (n: number): string => `${count(n, 'stop is', 'stops are')} still open. Finish all the same?`,
  yesFinish: 'Yes, finish',
  breakOf: (length: string): string => `Break, ${length}`,
  unloadAt: (workshop: string): string => `Unload at ${workshop}`,
  breakBy: (at: string, length: string): string => `Break of ${length}, to start by ${at}`,
  breakDue: (length: string): string => `Your break of ${length} is due: stop at the next safe place.`,
  shiftEnds: (at: string): string => `Shift ends ${at}`,
  shiftOver: 'The shift is over. Call the workshop before you go on.',
  rulesFirst: 'By the workshop’s own rule; the law where you drive and your licence come first.',
  otherDays: 'Other days',
  today: 'Today',
  stops: (n: number): string => count(n, 'stop', 'stops'),
  atNoStop: 'Entered at no stop of this sheet',

  // ---- the number pad ----
  net: 'Net',
  gross: 'Gross',
  tare: 'Tare',
  bags: 'Bags',
  thrownOut: 'Thrown out',
  way: { net: 'Net kg', gross: 'Gross − tare', bags: 'Bags only' },
  anotherLift: '+ lift',
  lifts: (parts: readonly string[], sum: string): string => `${parts.join(' + ')} = ${sum}`,
  less: (gross: string, tare: string, net: string): string => `${gross} − ${tare} = ${net}`,
  erase: 'Erase',
  foundFull: 'Found full',
  why: 'Why thrown out',
  reject: {
    food: 'Food',
    sharps: 'Sharps',
    pvc: 'PVC',
    'wrong-polymer': 'Wrong plastic',
    wet: 'Wet',
    unknown: 'Not known',
  } satisfies { readonly [reason in RejectReason]: string },
  grades: 'Grades by eye',
  gradesShared: 'One grade is all of it; several share it equally.',
  note: 'Note',
  handIn: 'Hand in',
  handInCorrection: 'Hand in the correction',
  correct: 'Correct it',
  correctionKept: 'What stands is filled in. The old entry is kept beside the correction.',
  yesRight: 'Yes, that is right',
  mend: 'Mend it',
  problem: {
    nothing: 'Type kilograms or bags, or press “Found full” if nobody could weigh or count.',
    'tare-over-gross': 'The tare is more than the gross weight.',
    'thrown-over': 'More was thrown out than was there.',
    'thrown-why': 'Say why it was thrown out.',
    'too-much': 'More than 10,000 kg is beyond any van.',
  },
  wouldOverload: (kg: Kg, payloadKg: Kg): string =>
    `With this the van carries ${f.kg(kg)}, and it may carry ${f.kg(payloadKg)}. Do not load it: leave film here, or unload first. The van’s plate decides.`,
  wouldOverfill: (litres: number, loadSpaceL: number): string =>
    `With this the van is over-full by our reckoning: ${f.litres(litres)} in ${f.litres(loadSpaceL)}.`,
  heavyLift: (kg: Kg, women: Kg, men: Kg): string =>
    `${f.kg(kg)} in one lift: the guideline filter is ${f.number(women)}${NBSP}kg for women and ${f.number(men)}${NBSP}kg for men, close to the body at the waist. A filter, not a limit: split it, use a trolley, or two of you. Local rules come first.`,
  cautions: 'Sharps, liquids, unknown things: do not touch, stop and call',

  // ---- not collected ----
  missed: {
    closed: 'Closed, nobody there',
    'nothing-there': 'Nothing there to take',
    'no-access': 'Could not get in',
    'unsafe-contents': 'Contents looked unsafe',
    'van-full': 'Van full',
    other: 'Something else',
  } satisfies { readonly [reason in MissedReason]: string },
  missedNext:
    'The film stays in the estimate, and the next plan calls again. The donor is told by the workshop.',
  missedNothing: 'The estimate starts again from empty. The next plan knows.',
  missedUnsafe:
    'Leave it where it is and call the workshop. Nobody is sent there before the workshop has spoken with the donor.',

  // ---- what was not taken ----
  refused: {
    'already-weighed': 'Another phone handed in a weigh-in here first.',
    'already-missed': 'It was already handed in as not collected.',
    'not-the-latest': 'It was corrected by somebody else meanwhile.',
    'stop-not-found': 'The stop is on none of your rounds any more.',
    'round-not-found': 'The round is not yours any more.',
    'still-to-come': 'Its time lies in the future: look at the phone’s clock.',
    'fact-differs': 'It was handed in before with other values.',
    'no-stops-in-load': 'No stop of the round waited for a share of a load.',
    'less-than-its-stops': 'The stops that were weighed come to more than the whole load.',
    'already-off-road': 'The van was off the road already.',
    'out-of-turn': 'The round stood otherwise by then.',
  } as { readonly [refusal: string]: string },
  refusedOther: 'The workshop could not take it. Call, and say what you entered.',
  mine: 'Mine is right: correct it',
  again: 'Enter it again',
  leaveIt: 'Leave it',
  notTaken: 'Not taken',

  // ---- unloading, an extra stop, the van off the road ----
  unloadTitle: 'Unload and weigh the load',
  unloadLead:
    'One weight for the whole load. What was weighed at its stops stays; the rest is shared over the stops that were only counted or found full.',
  unloadNeedsCount:
    'No stop of this load waits for a share: every one was weighed. Nothing need be entered here.',
  loadHandIn: 'Hand in the load',
  load: (kg: Kg): string => `Load ${f.kg(kg)}`,
  extraTitle: 'A donor waves',
  extraLead: 'A pickup at a site that this round does not call at. Where?',
  extraSearch: 'Name or street',
  extraUnknown: 'Somebody who is in no list: call the workshop before you load anything.',
  offRoadTitle: 'The van cannot go on',
  offRoadLead:
    'Stop where it is safe, get out on the side away from the traffic, and stand clear. Then say it here; the workshop plans the rest anew.',
  offRoadWhat: 'What is wrong',
  offRoadSay: 'Say it to the workshop',
  offRoadSaid: (at: string): string => `Van off the road, said at ${at}`,
};
