/** What a plan is weighed by: every price and weight, what it means, where its default comes from, and who changed it. */
import type { ChangedValue, Objective, RegisterPrice, SettingKey } from '../../usecases/change-objective.ts';
import { dateTime, number } from '../shared/format.ts';
import { measureOf, settingAmount, unitOf } from '../shared/objective-amounts.ts';
import {
  REGISTER_WORDS,
  SETTING_GROUPS,
  SETTING_WORDS,
  type SettingGroup,
} from '../shared/objective-words.ts';
import { type Notice, Page } from '../shared/page.tsx';
import { defaultTyped, type SettingsForm } from './settings-form.ts';
import type { SettingsView } from './settings-view.ts';

const FRAME = { role: 'coordinator', here: '/settings' } as const;

type SettingsProps = {
  readonly view: SettingsView;
  readonly form: SettingsForm;
  readonly notice?: Notice | undefined;
};

export const SettingsPage = ({ view, form, notice }: SettingsProps) => {
  const { workshop, objective } = view;
  const faults = Object.keys(form.errors).length;
  return (
    <Page title="Settings" live={false} workshop={workshop.name} notice={notice} {...FRAME}>
      <h1>What a plan is weighed by</h1>
      <p class="lead">
        A plan has one aim: the least money over its days, everything counted. These are the prices it counts
        with. <a href="/workshop">The workshop itself, its store and its grades</a> have a page of their own.
      </p>
      {faults > 0 && <Faults form={form} objective={objective} />}
      <form method="post" action="/settings" class="settings">
        <input type="hidden" name="version" value={objective.version} />
        {/* The first button of a form is pressed by the Enter key. */}
        <button type="submit" class="unseen" tabindex={-1}>
          Save
        </button>
        {SETTING_GROUPS.map((group) => (
          <Group group={group} view={view} form={form} />
        ))}
        <p class="actions settings-save">
          <button type="submit" class="primary">
            Save
          </button>
          <button type="submit" name="reset" value="all" class="quiet">
            Fill in every default
          </button>
          <span class="soft small">
            The next plan counts with them; plans that were made stay as they are.
          </span>
        </p>
      </form>
      <Changes view={view} />
    </Page>
  );
};

const nameOf = (objective: Objective, key: string): string =>
  key in SETTING_WORDS
    ? SETTING_WORDS[key as SettingKey].name
    : (objective.register.find((row) => row.key === key)?.name ?? key);

const Faults = ({ form, objective }: { readonly form: SettingsForm; readonly objective: Objective }) => (
  <nav class="notice notice-warning" aria-label="Fields to look at">
    <p>Nothing was kept yet. Look at:</p>
    <ul>
      {Object.entries(form.errors).map(([key, sentence]) => (
        <li>
          <a href={`#${idOf(key)}`}>{nameOf(objective, key)}</a>: {sentence}
        </li>
      ))}
    </ul>
  </nav>
);

const Group = ({
  group,
  view: { objective, workshop },
  form,
}: {
  readonly group: SettingGroup;
  readonly view: SettingsView;
  readonly form: SettingsForm;
}) => {
  const rows = objective.register.filter(({ kind }) => group.register.includes(kind));
  return (
    <fieldset class="setting-group" id={group.id}>
      <legend>
        <h2>{group.title}</h2>
      </legend>
      <p class="soft">{group.lead}</p>
      {rows.map((row) => (
        <Entry
          name={row.key}
          label={registerLabel(row)}
          explains={REGISTER_WORDS[row.kind].explains}
          form={form}
          currency={workshop.currency}
        />
      ))}
      {group.keys.map((key) => (
        <Entry
          name={key}
          label={SETTING_WORDS[key].name}
          explains={SETTING_WORDS[key].explains}
          form={form}
          currency={workshop.currency}
          usual={{
            typed: defaultTyped(objective, key),
            amount: settingAmount(key, objective.defaults[key], workshop.currency),
            source: SETTING_WORDS[key].source,
          }}
        />
      ))}
    </fieldset>
  );
};

const REGISTER_LABEL: { readonly [kind in RegisterPrice['kind']]: (name: string) => string } = {
  van: (name) => `${name}, the van`,
  driver: (name) => `${name}, driving`,
  grade: (name) => `Buying in: ${name}`,
};
const registerLabel = ({ kind, name }: RegisterPrice): string => REGISTER_LABEL[kind](name);

/** Keys hold dots and slashes, which an id may not need to be escaped for. */
const idOf = (key: string): string => `s-${key.replaceAll(/[^A-Za-z0-9_-]/g, '-')}`;

type EntryProps = {
  readonly name: string;
  readonly label: string;
  readonly explains: string;
  readonly form: SettingsForm;
  readonly currency: string;
  readonly usual?: { readonly typed: string; readonly amount: string; readonly source: string };
};

const Entry = ({ name, label, explains, form, currency, usual }: EntryProps) => {
  const id = idOf(name);
  const error = form.errors[name];
  const typed = form.typed[name] ?? '';
  const isOwn = usual !== undefined && typed.trim() !== usual.typed;
  return (
    <div class={error ? 'setting field-wrong' : 'setting'}>
      <div class="setting-value">
        <label for={id}>{label}</label>
        <span class="setting-box">
          <input
            id={id}
            name={name}
            value={typed}
            inputmode="decimal"
            autocomplete="off"
            aria-describedby={`${id}-unit ${id}-about${error ? ` ${id}-error` : ''}`}
            aria-invalid={error ? 'true' : undefined}
          />
          <span id={`${id}-unit`}>{unitOf(measureOf(name), currency)}</span>
        </span>
        {error && (
          <p class="field-error" id={`${id}-error`}>
            {error}
          </p>
        )}
      </div>
      <div class="setting-about">
        <div id={`${id}-about`}>
          <p>{explains}</p>
          {usual && (
            <p class="small soft">
              Default {usual.amount}. {usual.source}
            </p>
          )}
        </div>
        {isOwn && (
          <button type="submit" name="reset" value={name} class="quiet setting-reset">
            Fill in the default<span class="unseen"> of {label}</span>
          </button>
        )}
      </div>
    </div>
  );
};

const CHANGES_SHOWN = 8;

const Changes = ({ view: { changes, workshop, objective } }: { readonly view: SettingsView }) => (
  <>
    <h2>Last changes</h2>
    {changes.length === 0 ? (
      <p>Nobody has changed anything yet.</p>
    ) : (
      <ul class="setting-changes">
        {changes.slice(0, CHANGES_SHOWN).map(({ at, actor, changed }) => (
          <li>
            <span class="soft">
              {dateTime(at, workshop.zone)}, {actor}
            </span>
            <ul>
              {changed.map((value) => (
                <li>{changeWords(value, objective, workshop.currency)}</li>
              ))}
            </ul>
          </li>
        ))}
      </ul>
    )}
    {changes.length > CHANGES_SHOWN && (
      <p class="small soft">
        {number(changes.length - CHANGES_SHOWN)} earlier ones are in the journal (<code>/api/journal</code>).
      </p>
    )}
  </>
);

const changeWords = ({ key, from, to }: ChangedValue, objective: Objective, currency: string): string =>
  `${nameOf(objective, key)}: ${settingAmount(key, to, currency)}, was ${settingAmount(key, from, currency)}`;
