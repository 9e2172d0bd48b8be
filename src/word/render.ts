/** A mail from its words: facts become sentences, one word its own mail, several one mail with a part for each. */
import { addDays } from '../core/calendar/zone.ts';
import type { Instant } from '../core/quantity/units.ts';
import type { Db } from '../store/db.ts';
import { getEntry, lastSeq } from '../store/journal.ts';
import { getPlan, publishedPlan } from '../store/plans.ts';
import { listSites } from '../store/sites.ts';
import { type AnyWord, readWord, type WordFacts, type WordKind } from '../store/word-kinds.ts';
import { getTemplate } from '../store/word-templates.ts';
import { requireWorkshop } from '../store/workshop.ts';
import type { TemplateText } from '../usecases/word/change-template.ts';
import type { MailToSend } from '../usecases/word/send-mail.ts';
import { dateTime, dayLong, km, localDay, plainSpaces, time } from '../web/shared/format.ts';
import { entryWords } from '../web/shared/journal-words.ts';
import { type Names, readNames } from '../web/shared/names.ts';
import { MISSED_WORDS } from '../web/shared/words.ts';
import { fill, TEMPLATES } from './templates.ts';

export type Mail = {
  readonly mailId: string;
  readonly to: string;
  readonly subject: string;
  /** Plain text, lines ended by \n. */
  readonly text: string;
  /** Where this address may say what it wants. */
  readonly choiceUrl: string | undefined;
  /** Where answers go; empty when nowhere. */
  readonly replyTo: string;
  readonly from: string;
};

type Values = { readonly [name: string]: string };
type Said = { readonly db: Db; readonly names: Names; readonly origin: string };

/** Of a kind's placeholders, what stands there. */
const VALUES: { readonly [K in WordKind]: (facts: WordFacts<K>, said: Said) => Values } = {
  'booking-received': windowValues,
  'booking-confirmed': windowValues,
  'booking-changed': windowValues,
  'booking-cancelled': ({ siteId }, said) => siteValues(siteId, said),
  'visit-moved': ({ siteId, fromDay, startAt }, said) => ({
    ...siteValues(siteId, said),
    day: dayLong(fromDay),
    next:
      startAt === null
        ? 'The new day is not fixed yet; your page shows it as soon as it is.'
        : `Now we come on ${visit(startAt, said)}.`,
  }),
  'visit-tomorrow': ({ siteId, startAt }, said) => ({
    ...siteValues(siteId, said),
    day: dayLong(localDay(startAt, said.names.zone)),
    time: time(startAt, said.names.zone),
  }),
  'stop-missed': ({ siteId, reason, nextAt }, said) => ({
    ...siteValues(siteId, said),
    reason: reason === 'other' ? 'something came between' : MISSED_WORDS[reason],
    next:
      nextAt === null
        ? 'The next visit is not fixed yet; your page shows it as soon as it is.'
        : `We come next on ${visit(nextAt, said)}.`,
  }),
  'rounds-planned': ({ planId, driverId, fromAt }, { db, names }) => {
    const rounds = (getPlan(db, planId)?.rounds ?? []).filter(
      (round) => round.driverId === driverId && round.endAt > fromAt,
    );
    const { settings } = requireWorkshop(db);
    return {
      rounds:
        rounds.length === 0
          ? 'No round is planned for you.'
          : rounds
              .toSorted((a, b) => a.startAt - b.startAt)
              .map((round) => {
                const stops = round.stops.filter((stop) => stop.kind === 'site').length;
                return `${dayLong(round.day)}, ${time(round.startAt, names.zone)} to ${time(round.endAt, names.zone)}: ${stops} ${stops === 1 ? 'stop' : 'stops'}, ${km(round.distanceM)}`;
              })
              .join('\n'),
      workshop: names.workshop,
      phone: settings.phone,
    };
  },
  exception: ({ seq }, { db, names, origin }) => {
    const entry = getEntry(db, seq);
    return {
      what: entry ? entryWords(entry, names).replace(/\.$/, '') : `Entry ${seq} of the journal`,
      time: entry ? dateTime(entry.at, names.zone) : '',
      journal: `${origin}/journal`,
      workshop: names.workshop,
    };
  },
};

const visit = (at: Instant, { names }: Said): string =>
  `${dayLong(localDay(at, names.zone))}, about ${time(at, names.zone)}`;

function siteValues(siteId: string, { db, names }: Said): Values {
  const { settings } = requireWorkshop(db);
  return { site: names.of('site', siteId), workshop: names.workshop, phone: settings.phone };
}

function windowValues({ siteId, fromAt, untilAt }: WordFacts<'booking-received'>, said: Said): Values {
  const { zone } = said.names;
  const [from, until] = [localDay(fromAt, zone), localDay(untilAt - 1, zone)];
  const window =
    from === until
      ? `${dayLong(from)}, ${time(fromAt, zone)} to ${time(untilAt, zone)}`
      : `between ${dateTime(fromAt, zone)} and ${dateTime(untilAt, zone)}`;
  return { ...siteValues(siteId, said), window };
}

/** One word in the workshop's own text, or the program's. */
function wordText(word: AnyWord, said: Said, own?: TemplateText): TemplateText {
  const template = own ?? getTemplate(said.db, word.template) ?? TEMPLATES[word.template];
  const values = (VALUES[word.template] as (facts: AnyWord['facts'], said: Said) => Values)(word.facts, said);
  return {
    // A name may hold what a header line may not.
    subject: plainSpaces(fill(template.subject, values)).replace(/\s+/g, ' ').trim(),
    body: plainSpaces(fill(template.body, values)),
  };
}

export type RenderDeps = { readonly db: Db; readonly origin: string; readonly from: string | undefined };

export function renderMail({ db, origin, from }: RenderDeps, mail: MailToSend): Mail {
  const names = readNames(db);
  const said: Said = { db, names, origin };
  const { settings } = requireWorkshop(db);
  const parts = mail.words.map((word) => wordText(readWord(word.template, word.facts), said));
  const choiceUrl = mail.token === undefined ? undefined : `${origin}/your-mail/${mail.token}`;
  const [first] = parts;
  const foot = [
    '-- ',
    names.workshop + (settings.phone === '' ? '' : `, ${settings.phone}`),
    ...(choiceUrl === undefined
      ? []
      : [`What we write to you, and how often, you choose here: ${choiceUrl}`]),
  ];
  return {
    mailId: mail.mailId,
    to: mail.recipient,
    subject: parts.length === 1 ? first!.subject : `${parts.length} things from ${names.workshop}`,
    text: [
      parts.length === 1
        ? first!.body
        : parts.map(({ subject, body }) => `${subject}\n\n${body}`).join('\n\n* * *\n\n'),
      '',
      ...foot,
      '',
    ].join('\n'),
    choiceUrl,
    replyTo: settings.word.email,
    from: `${JSON.stringify(names.workshop)} <${from ?? (settings.word.email || 'feedround@localhost')}>`,
  };
}

/** What a text would look like, with facts of the register as an example. */
export function previewTemplate(
  deps: RenderDeps,
  kind: WordKind,
  text: TemplateText,
  nowAt: Instant,
): TemplateText {
  const said: Said = { db: deps.db, names: readNames(deps.db), origin: deps.origin };
  return wordText(exampleOf(kind, deps.db, nowAt), said, text);
}

function exampleOf(kind: WordKind, db: Db, nowAt: Instant): AnyWord {
  const siteId = listSites(db)[0]?.id ?? '';
  const plan = publishedPlan(db);
  const zone = requireWorkshop(db).zone;
  const [startAt, fromDay] = [nowAt + 86_400, addDays(localDay(nowAt, zone), 1)];
  const window = { siteId, bookingId: 'example', fromAt: nowAt + 86_400, untilAt: nowAt + 3 * 86_400 };
  const examples: { readonly [K in WordKind]: WordFacts<K> } = {
    'booking-received': window,
    'booking-confirmed': window,
    'booking-changed': window,
    'booking-cancelled': window,
    'visit-moved': { siteId, fromDay, startAt: startAt + 86_400 },
    'visit-tomorrow': { siteId, startAt },
    'stop-missed': { siteId, reason: 'closed', nextAt: startAt },
    'rounds-planned': {
      planId: plan?.id ?? 'none',
      driverId: plan?.rounds[0]?.driverId ?? 'none',
      fromAt: 0,
    },
    exception: { seq: lastSeq(db) },
  };
  return { template: kind, facts: examples[kind] } as AnyWord;
}
