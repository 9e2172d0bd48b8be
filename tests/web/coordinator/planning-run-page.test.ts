/** The page of a planning run by status and by what a person reads. */
import { expect, test } from 'vitest';
import { refuse } from '../../../src/core/quantity/result.ts';
import { plainSpaces } from '../../../src/web/shared/format.ts';
import { runningRun } from '../../fixtures/planning-run-view.ts';
import { previewApp } from '../../fixtures/preview-app.ts';

async function read(path: string) {
  const answer = await previewApp().request(path);
  const html = await answer.text();
  const text = plainSpaces(html.replaceAll(/<[^>]+>/g, ' ').replaceAll(/\s+/g, ' '));
  return { status: answer.status, location: answer.headers.get('location'), html, text };
}
const post = (path: string, body = '', app = previewApp()) =>
  app.request(path, {
    method: 'POST',
    body,
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
  });

test('planning again leads to the run, and what somebody else plans can be joined', async () => {
  const started = await post('/week/plan');
  expect([started.status, started.headers.get('location')]).toEqual([303, '/planning/run-1']);
  const busy = previewApp({ startRun: () => refuse({ kind: 'already-planning', run: runningRun() }) });
  const second = await post('/week/plan', '', busy);
  expect(second.status).toBe(409);
  const html = plainSpaces(await second.text());
  expect(html).toContain('Ina Quarrell started it (');
  expect(html).toContain('2 minutes ago)');
  expect(html).toContain('href="/planning/run-1"');
});

test('it says how far it is and what the best so far costs, in figures, a line and a table', async () => {
  const { text, html } = await read('/planning/run-1');
  expect(text).toContain('40 % done: 1,600 of 4,000 tries. About 3 s to go.');
  expect(text).toMatch(/Best week so far £355 Driving 186 km/);
  expect(html).toMatch(/role="img" aria-label="From £412 after 0\.2\ss to £355 after 1\.6\ss\."/);
  expect(text).toContain('0.7 s £372 190 km');
  // 83.70 + 210.00 + 61.25 = 354.95, largest first.
  expect(text).toMatch(/Drivers’ time .*£210 Driving .*£83\.70 Overflow .*£61\.25 Together £355/);
  expect(text).toContain('Stop here and keep the best');
  expect(text).toContain('Drop it');
});

test('with one week only there is nothing to draw, and it says so', async () => {
  const { text, html } = await read('/planning/stopping');
  expect(html).not.toContain('role="img"');
  expect(text).toContain(
    'The first whole week, after 0.2 s, is still the best: £412 with 203 km of driving.',
  );
});

test('it looks again by itself while it runs, unless told not to', async () => {
  expect((await read('/planning/run-1')).html).toContain('http-equiv="refresh" content="2"');
  expect((await read('/planning/young')).text).toContain('Starting: the first whole week comes in a moment.');
  expect((await read('/planning/run-1?refresh=no')).html).not.toContain('http-equiv');
  for (const state of ['dropped', 'failed'])
    expect((await read(`/planning/${state}`)).html, state).not.toContain('http-equiv');
});

test('when it is over it leads to the draft, or says that nothing was kept', async () => {
  expect(await read('/planning/done')).toMatchObject({
    status: 303,
    location: '/week?plan=plan-2&did=planned',
  });
  expect((await read('/planning/early')).location).toBe('/week?plan=plan-2&did=planned-early');
  expect((await read('/planning/dropped')).text).toContain('Nothing was kept.');
  expect((await read('/planning/failed')).text).toContain('The week could not be planned');
  expect((await read('/planning/nobody')).status).toBe(404);
});

test('its two buttons end it; a third answer is refused', async () => {
  const end = async (id: string, body: string) => {
    const answer = await post(`/planning/${id}/stop`, body);
    return [answer.status, answer.headers.get('location')];
  };
  expect(await end('run-1', 'how=keep')).toEqual([303, '/planning/run-1?did=stopping']);
  expect(await end('run-1', 'how=drop')).toEqual([303, '/planning/run-1']);
  expect(await end('early', 'how=drop')).toEqual([303, '/planning/early?did=over']);
  expect(await end('run-1', 'how=perhaps')).toEqual([400, null]);
  expect(await end('nobody', 'how=keep')).toEqual([404, null]);
});
