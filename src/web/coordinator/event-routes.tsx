/** The coordinator's routes about what happens: the journal, "something happened", word to people and its texts. */
import { type Context, Hono } from 'hono';
import { z } from 'zod';
import type { Result } from '../../core/quantity/result.ts';
import { HAPPENING_KINDS, type HappeningKind } from '../../usecases/happened/kinds.ts';
import type { TellRefusal } from '../../usecases/happened/tell.ts';
import type { FieldErrors, Typed } from '../shared/form.ts';
import { readForm, readTyped } from '../shared/form.ts';
import { refusePage } from '../shared/html-error.tsx';
import { idParam } from '../shared/ids.ts';
import type { Notice } from '../shared/page.tsx';
import { PROBLEMS } from '../shared/problem.ts';
import { REFUSAL_WORDS } from '../shared/refusal-words.ts';
import type { SessionEnv } from '../shared/session.ts';
import { HappenedFormPage, HappenedPage, type HappenedView } from './happened-page.tsx';
import { JournalPage } from './journal-page.tsx';
import type { JournalView, OutboxView, TextView } from './journal-view.ts';
import { OutboxPage } from './outbox-page.tsx';
import { TextPage } from './text-page.tsx';

type Decision = { readonly reaction: string; readonly seq: number; readonly actor: string };
type TypedText = { readonly subject: string; readonly body: string };

export type EventDeps = {
  hasWorkshop(): boolean;
  newId(): string;
  readJournal(before?: number): JournalView;
  tryReactionAgain(decision: Decision): Result<unknown, { readonly kind: string }>;
  setReactionAside(decision: Decision): Result<unknown, { readonly kind: string }>;
  readHappened(kind: HappeningKind): HappenedView;
  tell(
    kind: HappeningKind,
    sent: Typed,
    told: { readonly factId: string; readonly actor: string },
  ): Result<{ readonly id: string }, TellRefusal>;
  readOutbox(): OutboxView;
  tryMailAgain(request: {
    readonly mailId: string;
    readonly actor: string;
  }): Result<unknown, { readonly kind: string }>;
  /** With what was typed, or as it stands; nothing where there is no such text. */
  readText(template: string, typed?: TypedText): TextView | undefined;
  /** Keeps what was typed, or says what is wrong with it; without, the original holds again. */
  changeText(template: string, typed: TypedText | undefined, actor: string): FieldErrors | undefined;
};

const BACK = { path: '/journal', label: 'To the journal' };
const DONE: { readonly [did: string]: Notice } = {
  told: { kind: 'done', text: 'Noted down. What follows from it happens by itself.' },
  again: { kind: 'done', text: 'It is tried again at once.' },
  aside: { kind: 'done', text: 'Set aside. What waited behind it goes on.' },
  kept: { kind: 'done', text: 'Kept. It goes out with the next word of this kind.' },
};
const actorOf = (c: Context<SessionEnv>): string => `coordinator:${c.var.session.label || 'coordinator'}`;
const isKind = (text: string): text is HappeningKind => HAPPENING_KINDS.some((kind) => kind === text);

const Decided = z.strictObject({ what: z.enum(['again', 'aside']) });
const WaitingPath = z.object({ reaction: z.string(), seq: z.coerce.number().int().min(1) });
const Before = z.coerce.number().int().min(1).optional().catch(undefined);
const TextForm = z.strictObject({
  what: z.enum(['keep', 'look', 'original']),
  subject: z.string().default(''),
  body: z.string().default(''),
});

export const eventPages = (deps: EventDeps): Hono<SessionEnv> =>
  new Hono<SessionEnv>()
    // Before there is a workshop there is nothing to tell of.
    .on(
      ['GET', 'POST'],
      ['/journal/*', '/journal', '/happened/*', '/happened', '/word/*', '/word'],
      (c, next) => (deps.hasWorkshop() ? next() : c.redirect('/week', 302)),
    )
    .get('/journal', (c) => {
      const view = deps.readJournal(Before.parse(c.req.query('before')));
      return c.html(<JournalPage view={view} notice={DONE[c.req.query('did') ?? '']} />);
    })
    .post('/journal/waiting/:reaction/:seq', async (c) => {
      const path = WaitingPath.safeParse(c.req.param());
      const form = await readForm(c, Decided);
      const decide = form.ok && form.value.what === 'again' ? deps.tryReactionAgain : deps.setReactionAside;
      const done = path.success && form.ok && decide({ ...path.data, actor: actorOf(c) }).ok;
      if (done) return c.redirect(`/journal?did=${form.value.what}`, 303);
      const { detail } = REFUSAL_WORDS['no-such-waiting-entry']!;
      return refusePage(c, 'not-found', { detail, role: 'coordinator', back: BACK });
    })
    .get('/happened', (c) => {
      const { workshop } = deps.readHappened('van-off-road');
      return c.html(<HappenedPage workshop={workshop} />);
    })
    .get('/happened/:kind', (c) => {
      const kind = c.req.param('kind');
      if (!isKind(kind)) return refusePage(c, 'not-found', { role: 'coordinator', back: BACK });
      const typed = { ...c.req.query(), factId: deps.newId() };
      return c.html(<HappenedFormPage view={deps.readHappened(kind)} kind={kind} typed={typed} />);
    })
    .post('/happened/:kind', async (c) => {
      const kind = c.req.param('kind');
      if (!isKind(kind)) return refusePage(c, 'not-found', { role: 'coordinator', back: BACK });
      const typed = await readTyped(c);
      const { factId = '', ...sent } = typed;
      if (!/^[A-Za-z0-9_-]{1,64}$/.test(factId)) return refusePage(c, 'malformed', { back: BACK });
      const told = deps.tell(kind, sent, { factId, actor: actorOf(c) });
      if (told.ok) return c.redirect('/journal?did=told', 303);
      const show = (notice: Notice, errors: FieldErrors, status: 404 | 409 | 422) =>
        c.html(
          <HappenedFormPage view={deps.readHappened(kind)} {...{ kind, typed, errors, notice }} />,
          status,
        );
      if (told.refusal.kind === 'facts-unreadable') {
        const text = 'Nothing was kept yet: see the fields that need another look.';
        return show({ kind: 'warning', text }, sentences(told.refusal.faults), 422);
      }
      const words = REFUSAL_WORDS[told.refusal.refusal.kind];
      if (!words) throw new Error(`no words for the refusal "${told.refusal.refusal.kind}"`);
      const { status } = PROBLEMS[words.problem];
      return show(
        { kind: 'warning', text: words.detail },
        {},
        status === 404 || status === 409 ? status : 422,
      );
    })
    .get('/word', (c) =>
      c.html(<OutboxPage view={deps.readOutbox()} notice={DONE[c.req.query('did') ?? '']} />),
    )
    .post('/word/mails/:id/again', (c) => {
      const done = deps.tryMailAgain({ mailId: idParam(c) ?? '', actor: actorOf(c) });
      if (done.ok) return c.redirect('/word?did=again', 303);
      const { detail } = REFUSAL_WORDS['no-such-parked-mail']!;
      return refusePage(c, 'not-found', { detail, role: 'coordinator', back: BACK });
    })
    .get('/word/texts/:template', (c) => {
      const view = deps.readText(c.req.param('template'));
      if (!view) return refusePage(c, 'not-found', { role: 'coordinator', back: BACK });
      return c.html(<TextPage view={view} notice={DONE[c.req.query('did') ?? '']} />);
    })
    .post('/word/texts/:template', async (c) => {
      const template = c.req.param('template');
      const form = await readForm(c, TextForm);
      if (!form.ok || !deps.readText(template))
        return refusePage(c, form.ok ? 'not-found' : 'malformed', { role: 'coordinator', back: BACK });
      const { what, ...text } = form.value;
      if (what === 'look') return c.html(<TextPage view={deps.readText(template, text)!} />);
      const errors = deps.changeText(template, what === 'keep' ? text : undefined, actorOf(c));
      if (!errors) return c.redirect(`/word/texts/${template}?did=kept`, 303);
      const notice = { kind: 'warning', text: 'Nothing was kept yet: the text has a mistake.' } as const;
      return c.html(<TextPage view={deps.readText(template, text)!} errors={errors} notice={notice} />, 422);
    });

/** A form's fields stand under their labels: the fault begins the sentence. */
const sentences = (faults: FieldErrors): FieldErrors =>
  Object.fromEntries(
    Object.entries(faults).map(([name, fault]) => [
      name,
      `${fault.slice(0, 1).toUpperCase()}${fault.slice(1)}.`,
    ]),
  );
