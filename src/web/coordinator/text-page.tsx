/** One text of what people are told: how it stands, what may be put in, how it would look. */
import { TextField } from '../shared/controls.tsx';
import type { FieldErrors } from '../shared/form.ts';
import { capital, plainName } from '../shared/journal-words.ts';
import { Field, type Notice, Page } from '../shared/page.tsx';
import type { TextView } from './journal-view.ts';

const FRAME = { role: 'coordinator', here: '/journal' } as const;

export type TextPageProps = {
  readonly view: TextView;
  readonly errors?: FieldErrors;
  readonly notice?: Notice | undefined;
};

export const TextPage = ({ view, errors = {}, notice }: TextPageProps) => (
  <Page
    title={`Text: ${plainName(view.template)}`}
    workshop={view.workshop.name}
    notice={notice}
    live={false}
    {...FRAME}
  >
    <p class="kicker">
      <a href="/word">Word to people</a>
    </p>
    <h1>{capital(plainName(view.template))}</h1>
    <p class="lead">Sent when {view.when}.</p>
    <div class="two">
      <form method="post" action={`/word/texts/${view.template}`} class="after">
        <Field name="subject" label="Subject" typed={view.subject} error={errors['subject']} />
        <TextField name="body" label="Text" rows={9} typed={view.body} error={errors['body']} />
        <p class="actions">
          <button type="submit" class="primary" name="what" value="keep">
            Keep this text
          </button>
          <button type="submit" name="what" value="look">
            Look at it first
          </button>
          {view.isOwn && (
            <button type="submit" class="quiet" name="what" value="original">
              Back to the original
            </button>
          )}
        </p>
      </form>
      <section>
        <h2>What may be put in</h2>
        <dl class="pairs after">
          {Object.entries(view.placeholders).map(([name, about]) => (
            <>
              <dt>
                <code>{`{${name}}`}</code>
              </dt>
              <dd>{about}</dd>
            </>
          ))}
        </dl>
      </section>
    </div>
    {view.preview && (
      <section class="word-look" aria-labelledby="preview">
        <h2 id="preview">How it would look</h2>
        <div class="word-preview">
          <p>
            <b>{view.preview.subject}</b>
          </p>
          <pre>{view.preview.body}</pre>
        </div>
      </section>
    )}
  </Page>
);
