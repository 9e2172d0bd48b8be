#!/usr/bin/env node
// Entry of the command: checks the runtime before anything native is loaded. Plain JavaScript, so that an old
// Node can read it and say what to do.
const major = Number(process.versions.node.split('.')[0]);
if (major < 26) {
  console.error(
    `feedround needs Node 26 or newer and was started with ${process.version}. ` +
      'The project brings its own: run "npm ci", then start it through npm, for example "npx feedround --help".',
  );
  process.exit(1);
}
// Whoever reads the output may stop reading: `feedround export weigh-ins | head`.
process.stdout.on('error', (error) => {
  if (error.code !== 'EPIPE') throw error;
  process.exit(0);
});
await import('./jsx-loader.js');
const { runCommandLine } = await import('./cli.ts');
process.exitCode = await runCommandLine(process.argv.slice(2));
