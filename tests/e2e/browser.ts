/**
 * A real browser for the stories. The one inside the package @sparticuz/chromium needs no download (Linux x64);
 * elsewhere an installed one is used, or FEEDROUND_CHROMIUM names it.
 */
import { existsSync } from 'node:fs';
import chromium from '@sparticuz/chromium';
import { type Browser, chromium as playwright } from 'playwright-core';

const INSTALLED = [
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
  '/Applications/Google Chrome.app/Contents/MacOS/Google Chrome',
];

export async function openBrowser(): Promise<Browser> {
  const named = process.env['FEEDROUND_CHROMIUM'];
  const packaged = process.platform === 'linux' && process.arch === 'x64';
  const executablePath = named ?? (packaged ? await chromium.executablePath() : INSTALLED.find(existsSync));
  if (!executablePath)
    throw new Error(
      'No browser found for the end-to-end tests. Install Chromium, or set FEEDROUND_CHROMIUM to its path.',
    );
  return playwright.launch({
    executablePath,
    // One process for everything crashes on service workers; the rest of the package's flags suit a container.
    args: [
      ...(packaged && !named
        ? chromium.args.filter((flag) => flag !== '--single-process' && !flag.startsWith('--headless'))
        : []),
      '--no-sandbox',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
      '--no-first-run',
    ],
  });
}
