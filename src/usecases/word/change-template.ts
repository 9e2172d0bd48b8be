/** The workshop's own words in place of the program's, or the program's again. */
import { inTransaction } from '../../store/db.ts';
import { appendEntry } from '../../store/journal.ts';
import type { WordKind } from '../../store/word-kinds.ts';
import { getTemplate, removeTemplate, saveTemplate } from '../../store/word-templates.ts';
import type { Context } from '../context.ts';

export type TemplateText = { readonly subject: string; readonly body: string };

/** @param text checked by `templateFaults` before; without it the program's own text holds again */
export function changeTemplate(
  { store, now }: Context,
  {
    template,
    text,
    actor,
  }: { readonly template: WordKind; readonly text?: TemplateText; readonly actor: string },
): void {
  inTransaction(store, (tx) => {
    const before = getTemplate(tx, template);
    const isSame = text ? before?.subject === text.subject && before.body === text.body : !before;
    if (isSame) return;
    const at = now();
    if (text) saveTemplate(tx, { template, ...text, changedBy: actor, changedAt: at });
    else removeTemplate(tx, template);
    appendEntry(tx, {
      at,
      kind: 'word-template-changed',
      subject: `template:${template}`,
      actor,
      facts: { isOwn: text !== undefined },
    });
  });
}
