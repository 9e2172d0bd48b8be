/** What the pages about happenings and word need, wired to the use cases. */

import { isWordKind } from './store/word-kinds.ts';
import { getTemplate } from './store/word-templates.ts';
import { getWorkshop, requireWorkshop } from './store/workshop.ts';
import type { Context } from './usecases/context.ts';
import { tell } from './usecases/happened/tell.ts';
import { setReactionAside, tryReactionAgain } from './usecases/react.ts';
import { changeTemplate } from './usecases/word/change-template.ts';
import { chooseWord, findChoice, openOwnChoice } from './usecases/word/choose-word.ts';
import { tryMailAgain } from './usecases/word/send-mail.ts';
import type { EventDeps } from './web/coordinator/event-routes.tsx';
import { readHappened } from './web/coordinator/read-happened.ts';
import { readJournal, readOutbox } from './web/coordinator/read-journal.ts';
import type { YourMailDeps } from './web/shared/your-mail.tsx';
import { previewTemplate } from './word/render.ts';
import { TEMPLATES, templateText } from './word/templates.ts';

export function eventsFor(context: Context, origin: string): EventDeps {
  const { store, now, newId } = context;
  return {
    hasWorkshop: () => getWorkshop(store) !== undefined,
    newId,
    readJournal: (before) => readJournal(store, before),
    tryReactionAgain: (decision) => tryReactionAgain(context, decision),
    setReactionAside: (decision) => setReactionAside(context, decision),
    readHappened: (kind) => readHappened(store, now(), kind),
    tell: (kind, sent, told) => tell(context, kind, sent, told),
    readOutbox: () => readOutbox(store, (kind) => (isWordKind(kind) ? TEMPLATES[kind].when : '')),
    tryMailAgain: (request) => tryMailAgain(context, request),
    readText(template, typed) {
      if (!isWordKind(template)) return undefined;
      const { name, zone } = requireWorkshop(store);
      const own = getTemplate(store, template);
      const { when, placeholders, ...original } = TEMPLATES[template];
      const { subject, body } = typed ?? own ?? original;
      const read = templateText(template).safeParse({ subject, body });
      const preview = read.success
        ? previewTemplate({ db: store, origin, from: undefined }, template, read.data, now())
        : undefined;
      const view = { template, when, placeholders, subject, body, preview, isOwn: own !== undefined };
      return { ...view, workshop: { name, zone } };
    },
    changeText(template, typed, actor) {
      if (!isWordKind(template)) throw new Error(`there is no text ${template}`);
      if (!typed) {
        changeTemplate(context, { template, actor });
        return undefined;
      }
      const read = templateText(template).safeParse(typed);
      if (read.success) {
        changeTemplate(context, { template, text: read.data, actor });
        return undefined;
      }
      const errors: Record<string, string> = {};
      for (const { path, message } of read.error.issues) {
        const [field, sentence] = [
          String(path[0]),
          `${message.slice(0, 1).toUpperCase()}${message.slice(1)}.`,
        ];
        errors[field] = field in errors ? `${errors[field]} ${sentence}` : sentence;
      }
      return errors;
    },
  };
}

export const yourMailFor = (context: Context): YourMailDeps => ({
  workshopName: () => getWorkshop(context.store)?.name,
  findChoice: (token) => findChoice(context, token),
  chooseWord: (request) => chooseWord(context, request),
  openOwnChoice: (whose) => openOwnChoice(context, whose),
});
