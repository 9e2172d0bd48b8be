import { Hono } from 'hono';
import { describe, expect, test } from 'vitest';
import { ok, refuse } from '../../../src/core/quantity/result.ts';
import type { DriverDeps, StopMissed, StopWeighIn } from '../../../src/web/driver/driver-deps.ts';
import { driverPages } from '../../../src/web/driver/driver-pages.tsx';
import type { SessionEnv } from '../../../src/web/shared/session.ts';
import { NOW_AT, runView, stopPage } from '../../fixtures/run-view.ts';

function open(over: Partial<DriverDeps> = {}) {
  const weighIns: StopWeighIn[] = [];
  const missed: StopMissed[] = [];
  let ids = 0;
  const deps: DriverDeps = {
    now: () => NOW_AT,
    newId: () => `fact-${++ids}`,
    readRun: () => runView,
    readStop: (driverId, stopId) => (driverId === 'mara' ? stopPage(stopId) : undefined),
    recordWeighIn: (entry) => {
      weighIns.push(entry);
      return ok({ weighInId: 'w' });
    },
    recordMissedStop: (entry) => {
      missed.push(entry);
      return ok({ missedId: 'm' });
    },
    markRound: ({ factId }) => ok({ markId: factId }),
    ...over,
  };
  const as = (driverId: string) =>
    new Hono<SessionEnv>()
      .use(async (c, next) => {
        c.set('session', { role: 'driver', subjectId: driverId, label: 'Mara', expiresAt: NOW_AT + 9000 });
        await next();
      })
      .route('/', driverPages(deps));
  const get = async (path: string, driverId = 'mara') => {
    const answer = await as(driverId).request(path);
    return { status: answer.status, text: readable(await answer.text()) };
  };
  const post = async (path: string, fields: Record<string, string>, driverId = 'mara') => {
    const answer = await as(driverId).request(path, { method: 'POST', body: new URLSearchParams(fields) });
    const html = await answer.text();
    return { status: answer.status, location: answer.headers.get('location'), html, text: readable(html) };
  };
  return { get, post, weighIns, missed };
}

/** What a person reads: tags gone, entities and no-break spaces plain. */
const readable = (html: string): string =>
  html
    .replace(/<[^>]+>/g, ' ')
    .replaceAll('&amp;', '&')
    .replaceAll('\u00a0', ' ')
    .replace(/\s+/g, ' ');

describe('the run sheet', () => {
  test('says of a stop when, how much with its interval, why, where, and what to be careful of', async () => {
    const { text } = await open().get('/driver');
    for (const said of [
      'Thursday 12 March',
      '10:20 Northbridge Wholesale',
      'About 58 kg (35–87 kg)',
      '7 bags (4–10)',
      '2,900 L (1,740–4,350)',
      'Promised by rule, 10:00–12:00',
      'Ramp 3, ring at the yard office',
      'A full bulk bag here is about 20 kg',
      'A filter, not a limit; local rules and your employer’s assessment come first',
      'The donor warns: sharp things possible; not sorted by hand, contents unknown.',
      'Break 45 min, to start by 12:30',
      'Shift ends 16:00',
      'Unload at Film & Form',
      'Leave out Old Quay Drop-off first, then Fern Row Grocer.',
      'Never Northbridge Wholesale (promised)',
      'Never load above the weight on the van’s plate',
      'Trip 1: 18 % chance of being full before the last stop, 31 % that not everything fits; space runs out first.',
      'the van would be full at Lantern Festival field',
    ])
      expect(text).toContain(said);
  });

  test('shows what was handed in, and what it says next to what was expected', async () => {
    const { text } = await open().get('/driver?done=stop-1');
    expect(text).toContain(
      'Handed in: Harbour Stores, 39 kg, 10 bags, found full; 2.0 kg thrown out (food).',
    );
    expect(text).toContain('Not collected (could not get in): gate locked');
  });

  test('links to a map by geo: URI, latitude first (RFC 5870), and to the dialler (RFC 3966)', async () => {
    const app = open();
    const { html } = await app.post('/driver/stops/stop-4/weigh-in', {});
    expect(html).toContain('href="geo:47.22,15.353333"');
    expect(html).toContain('href="tel:+433165550114"');
  });

  test('of another day, or of a day without a round, says so; a broken day is today', async () => {
    const { get } = open();
    expect((await get('/driver?day=2026-03-13')).text).toContain('Fern Row Grocer');
    expect((await get('/driver?day=2026-03-20')).text).toContain('No round is planned for you on this day');
    expect((await get('/driver?day=soon')).text).toContain('Thursday 12 March');
  });

  test('carries no inline script and no inline style', async () => {
    const { html } = await open().post('/driver/stops/stop-4/weigh-in', {});
    expect(html).not.toMatch(/<script(?![^>]* src=)|\sstyle=|\son[a-z]+=/);
  });
});

describe('a weigh-in form', () => {
  const path = '/driver/stops/stop-4/weigh-in';

  test('hands in what was typed for this driver and this stop, and leads to the next stop', async () => {
    const { post, weighIns } = open();
    const { status, location } = await post(path, {
      factId: 'f1',
      grossKg: '60',
      tareKg: '4',
      bags: '7',
      rejectedKg: '1,5',
      rejectReason: 'wet',
      'grade_ldpe-clear': '30',
      note: ' two rolls ',
    });
    expect(status).toBe(303);
    expect(location).toBe('/driver?day=2026-03-12&done=stop-4#stop-stop-5');
    expect(weighIns).toEqual([
      {
        factId: 'f1',
        stopId: 'stop-4',
        driverId: 'mara',
        at: NOW_AT,
        grossKg: 60,
        tareKg: 4,
        netKg: 56,
        bags: 7,
        foundFull: false,
        rejectedKg: 1.5,
        rejectReason: 'wet',
        grades: [{ grade: 'ldpe-clear', kg: 30 }],
        note: 'two rolls',
      },
    ]);
  });

  test('comes back with what was typed, escaped, the same fact id, and a sentence by the field', async () => {
    const { post, weighIns } = open();
    const { status, html, text } = await post(path, { factId: 'f1', netKg: '<b>9</b>', bags: '7' });
    expect(status).toBe(422);
    expect(html).toContain('value="&lt;b&gt;9&lt;/b&gt;"');
    expect(html).toContain('name="factId" value="f1"');
    expect(html).toMatch(/id="netKg"[^>]*aria-invalid="true"/);
    expect(text).toContain('Type kilograms as a number, such as 34 or 34.5');
    expect(weighIns).toEqual([]);
  });

  test('is asked once about an unlikely value; a yes for that value is taken, a yes for another is not', async () => {
    const { post, weighIns } = open();
    const asked = await post(path, { factId: 'f1', netKg: '580' });
    expect(asked.status).toBe(422);
    expect(asked.text).toContain('Is 580 kg right? We expected 35–87 kg.');
    const confirmed = /name="confirmed" value="([^"]+)"/.exec(asked.html)?.[1] ?? '';
    expect((await post(path, { factId: 'f1', netKg: '581', confirmed })).status).toBe(422);
    expect((await post(path, { factId: 'f1', netKg: '580', confirmed })).status).toBe(303);
    expect(weighIns.map(({ netKg }) => netKg)).toEqual([580]);
  });

  test('of a stop that was weighed shows what stands and corrects it, at the time that stands', async () => {
    const { get, post, weighIns } = open();
    expect((await get('/driver/stops/stop-1')).text).toContain('Correct it');
    const { html } = await post('/driver/stops/stop-1/weigh-in', { netKg: 'x' });
    expect(html).not.toContain('Hand in as not collected');
    await post('/driver/stops/stop-1/weigh-in', { factId: 'f2', replacesId: 'weigh-1', netKg: '38' });
    expect(weighIns[0]).toMatchObject({ replacesId: 'weigh-1', netKg: 38, at: stopOutcomeAt('stop-1') });
  });

  test.each([
    ['already-weighed', 'A weigh-in for this stop is already there'],
    ['fact-differs', 'already handed in with other values'],
  ] as const)('that is refused as %s is a conflict with a sentence', async (kind, sentence) => {
    const { post } = open({ recordWeighIn: () => refuse({ kind, weighInId: 'weigh-1' } as never) });
    const { status, text } = await post('/driver/stops/stop-1/weigh-in', { factId: 'f1', netKg: '20' });
    expect(status).toBe(409);
    expect(text).toContain(sentence);
  });

  test('of a stop on another driver’s round, or of none, is not there', async () => {
    const { get, post, weighIns } = open();
    expect((await get('/driver/stops/stop-4', 'odo')).status).toBe(404);
    expect((await post(path, { factId: 'f1', netKg: '20' }, 'odo')).status).toBe(404);
    expect((await get('/driver/stops/nothing')).status).toBe(404);
    expect((await get('/driver/stops/..%2Fstop-4')).status).toBe(404);
    expect(weighIns).toEqual([]);
  });
});

const stopOutcomeAt = (stopId: string): number => {
  const { outcome } = stopPage(stopId)!.stop;
  return outcome!.at;
};

describe('a stop that was not collected', () => {
  const path = '/driver/stops/stop-4/missed';
  test('is handed in with its reason and note', async () => {
    const { post, missed } = open();
    const fields = { factId: 'f3', reason: 'unsafe-contents', missedNote: 'needles' };
    expect((await post(path, fields)).status).toBe(303);
    expect(missed).toEqual([
      {
        factId: 'f3',
        stopId: 'stop-4',
        driverId: 'mara',
        at: NOW_AT,
        reason: 'unsafe-contents',
        note: 'needles',
      },
    ]);
  });

  test('without a reason comes back with its note', async () => {
    const { post, missed } = open();
    const { status, html, text } = await post(path, { factId: 'f3', missedNote: 'gate <locked>' });
    expect(status).toBe(422);
    expect(text).toContain('Choose why it was not collected');
    expect(html).toContain('gate &lt;locked&gt;');
    expect(missed).toEqual([]);
  });
});
