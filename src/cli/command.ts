/** What a command is, how its words are read, and how its help is written. */
import { parseArgs } from 'node:util';

export type Option = {
  readonly name: string;
  /** Absent for a switch; otherwise what the value is called in the help. */
  readonly value?: string;
  readonly about: string;
};

export type Words = {
  readonly positionals: readonly string[];
  text(name: string): string | undefined;
  isOn(name: string): boolean;
  /** A whole number within bounds, or the fallback. */
  whole(
    name: string,
    bounds: { readonly min: number; readonly max: number; readonly fallback: number },
  ): number;
};

export type Command = {
  readonly name: string;
  /** What follows the name, as the help shows it. */
  readonly usage: string;
  readonly summary: string;
  readonly details?: string;
  readonly options: readonly Option[];
  /** How many words may follow the name, so that none is passed over in silence; absent: any number. */
  readonly maxWords?: number;
  /** The exit code: 0 done, 1 refused or something is wrong with the data. Usage errors throw. */
  run(words: Words): Promise<number> | number;
};

/** The call's words are off: exit code 2 and the command's usage. */
export class UsageError extends Error {}

/** The words are right, the data or the situation is not: exit code 1 and the message alone. */
export class Refusal extends Error {}

const HELP: Option = { name: 'help', about: 'Say this and stop.' };
export const DATABASE: Option = {
  name: 'db',
  value: 'FILE',
  about: 'The database file. Default: FEEDROUND_DB, or .feedround/feedround.db.',
};
export const JSON_OUTPUT: Option = { name: 'json', about: 'Print one JSON document instead of text.' };

/** @throws UsageError on an unknown option or a missing value, naming it. */
export function readWords(command: Command, args: readonly string[]): Words {
  const options = Object.fromEntries(
    [...command.options, HELP].map((option) => [
      option.name,
      { type: option.value ? ('string' as const) : ('boolean' as const) },
    ]),
  );
  let parsed: ReturnType<typeof parseArgs>;
  try {
    parsed = parseArgs({ args: [...args], options, allowPositionals: true, strict: true });
  } catch (error) {
    throw new UsageError(error instanceof Error ? error.message : String(error));
  }
  const surplus = parsed.positionals[command.maxWords ?? Number.POSITIVE_INFINITY];
  if (surplus !== undefined) throw new UsageError(`"${surplus}" is one word too many.`);
  const text = (name: string): string | undefined => {
    const value = parsed.values[name];
    return typeof value === 'string' ? value : undefined;
  };
  return {
    positionals: parsed.positionals,
    text,
    isOn: (name) => parsed.values[name] === true,
    whole(name, { min, max, fallback }) {
      const value = text(name);
      if (value === undefined) return fallback;
      const number = Number(value);
      if (!Number.isInteger(number) || number < min || number > max)
        throw new UsageError(`--${name} takes a whole number from ${min} to ${max}, not "${value}".`);
      return number;
    },
  };
}

export function helpOf(command: Command): string {
  const rows = [...command.options, HELP].map(
    ({ name, value, about }) => [`--${name}${value ? ` ${value}` : ''}`, about] as const,
  );
  const width = Math.max(...rows.map(([left]) => left.length));
  return [
    `feedround ${command.name} ${command.usage}`.trimEnd(),
    '',
    command.summary,
    ...(command.details ? ['', command.details] : []),
    '',
    ...rows.map(([left, about]) => `  ${left.padEnd(width)}  ${about}`),
  ].join('\n');
}
