export async function runCommandLine(args: readonly string[]): Promise<number> {
  console.log('feedround', process.version, ...args);
  return 0;
}
