/** The command as a process of its own, which costs a second, and in this process, which costs nothing. */
import { spawnSync } from 'node:child_process';
import { vi } from 'vitest';
import { runCommandLine } from '../../src/cli.ts';

export const ENTRY = 'src/feedround.js';
export type Ran = { readonly status: number | null; readonly stdout: string; readonly stderr: string };

export function runProcess(...args: string[]): Ran {
  const { status, stdout, stderr } = spawnSync(process.execPath, [ENTRY, ...args], { encoding: 'utf8' });
  return { status, stdout, stderr };
}

/** The same code from the words on; what it writes is caught. */
export async function runHere(...args: string[]): Promise<Ran> {
  const written = { stdout: '', stderr: '' };
  const caught = (['stdout', 'stderr'] as const).map((name) =>
    vi.spyOn(process[name], 'write').mockImplementation((text) => {
      written[name] += text;
      return true;
    }),
  );
  try {
    return { status: await runCommandLine(args), ...written };
  } finally {
    for (const spy of caught) spy.mockRestore();
  }
}
