import { Hono } from 'hono';
import { describe, expect, test } from 'vitest';
import { ok, refuse } from '../../../src/core/quantity/result.ts';
import type {
  BookingCancel,
  DonorDeps,
  ExtraRequest,
  FullReport,
} from '../../../src/web/donor/donor-deps.ts';
import { donorPages } from '../../../src/web/donor/donor-pages.tsx';
import type { SessionEnv } from '../../../src/web/shared/session.ts';
import { booking, donorView, offerView, site } from '../../fixtures/donor-view.ts';
import { NOW_AT } from '../../fixtures/run-view.ts';

function open(over: Partial<DonorDeps> = {}) {
  const reports: FullReport[] = [];
  const requests: ExtraRequest[] = [];
  const cancels: BookingCancel[] = [];
  let ids = 0;
  const deps: DonorDeps = {
    now: () => NOW_AT,
    newId: () => `fact-${++ids}`,
    readDonor: (donorId) => (donorId === 'harbour' ? donorView : undefined),
    readBooking: (donorId, bookingId) => {
      const found = site.bookings.find((one) => one.bookingId === bookingId);
      return donorId === 'harbour' && found ? { ...donorView, booking: found } : undefined;
    },
    reportFull: (entry) => {
      reports.push(entry);
      return ok({ reportId: 'r' });
    },
    quoteExtra: (entry) => {
      requests.push(entry);
      return ok({ quoteId: 'quote-1' });
    },
    createCalendar: () =>
      ok({ url: 'https://film.example/feeds/calendar/k.ics', label: 'H', expiresAt: NOW_AT }),
    withdrawCalendar: () => ({ ended: 1 }),
    readOffer: (donorId, quoteId) =>
      donorId === 'harbour' && quoteId === 'quote-1' ? offerView() : undefined,
    readAsked: () => undefined,
    takeOffer: ({ slotFromAt }) =>
      ok({ bookingId: 'booking-1', state: 'confirmed', fromAt: slotFromAt, untilAt: slotFromAt + 3600 }),
    leaveRequest: () => ok({ bookingId: 'booking-1' }),
    announceSurge: ({ factId }) => ok({ surgeId: factId }),
    callOffSurge: (donorId, surgeId) => donorId === 'harbour' && surgeId === 'surge-1',
    pauseSite: ({ siteId }) => ok({ siteId }),
    resumeSite: () => ok({}),
    changeContact: () => ok({}),
    endLink: (donorId, hash) => donorId === 'harbour' && hash === 'hash-1',
    bookingCalendar: () => undefined,
    readYear: () => undefined,
    cancelBooking: (entry) => {
      cancels.push(entry);
      return ok({ bookingId: entry.bookingId });
    },
    ...over,
  };
  const as = (donorId: string) =>
    new Hono<SessionEnv>()
      .use(async (c, next) => {
        c.set('session', { role: 'donor', subjectId: donorId, label: 'Harbour', expiresAt: NOW_AT + 9000 });
        await next();
      })
      .route('/', donorPages(deps));
  const answerOf = async (answer: Response) => {
    const html = await answer.text();
    return { status: answer.status, location: answer.headers.get('location'), html, text: readable(html) };
  };
  const get = async (path: string, donorId = 'harbour') => answerOf(await as(donorId).request(path));
  const post = async (path: string, fields: Record<string, string>, donorId = 'harbour') =>
    answerOf(await as(donorId).request(path, { method: 'POST', body: new URLSearchParams(fields) }));
  return { get, post, reports, requests, cancels };
}

const readable = (html: string): string =>
  html
    .replace(/<[^>]+>/g, ' ')
    .replaceAll('&amp;', '&')
    .replaceAll('\u00a0', ' ')
    .replace(/\s+/g, ' ');

const EXTRA = {
  factId: 'f1',
  eventKind: 'festival',
  eventEndsLocal: '2026-03-11T23:00',
  amount: '40',
  unit: 'sacks',
  fromDay: '2026-03-13',
  untilDay: '2026-03-17',
  remarks: 'green gate',
  hazardWet: 'yes',
};

describe('the donor’s page', () => {
  test('says when we come and why then, how full with its interval, the rule, the next dates, the requests', async () => {
    const { text } = await open().get('/donor');
    for (const said of [
      'Monday 16 March about 08:20',
      'We think your container could be full by Monday 16 March.',
      'About 9 bags (5–13 bags), 34 kg (20–51 kg)',
      'Four times in five it lies in that range',
      'It rests on 12 weigh-ins at your place, the last of 39 kg on Thu 5 Mar.',
      'Every Monday, 08:00 to 12:00 (promised)',
      'Mon 23 Mar 08:00 to 12:00',
      'Closed: Fri 3 Apr to Mon 6 Apr (Easter)',
      'We have your request 40 sacks, festival Fri 13 Mar to Tue 17 Mar',
      'Confirmed 40 sacks, festival planned Fri 13 Mar',
    ])
      expect(text).toContain(said);
  });

  test('reports accepted film, not collected, in kilograms alone, and adds up', async () => {
    const { text } = await open().get('/donor');
    // Collected 118 + 141 + 212 + 0 + 126 + 39.2 = 636.2, rejected 6.2 + 3.1 + 18.4 + 0 + 2 + 2 = 31.7.
    expect(text).toContain(
      '605 kg of film was good enough to press in these 6 months, 95 % of what we took.',
    );
    expect(text).toContain('105 kg more than in the twelve months before.');
    expect(text).toContain('film for 201 × Garden kneeler or 302 × Planter tray');
    expect(text).toContain('December 2025 5 212 kg 194 kg 91 %');
    expect(text).toContain('Together 17 636 kg 605 kg 95 %');
    expect(text).toContain('March 2026 so far');
    expect(text).not.toMatch(/CO2|carbon|climate/i);
  });

  test('tells a picture of the fill to those who cannot see it', async () => {
    const { html } = await open().get('/donor');
    expect(html).toContain('role="img" aria-label="About 71 % full, between 42 and 106 %"');
  });

  test('shows no money and no other word of the planner’s to a donor', async () => {
    const { text } = await open().get('/donor');
    expect(text).not.toMatch(/€|EUR|detour|38 %/);
  });

  test('of a donor that left the register is not there', async () => {
    expect((await open().get('/donor', 'stranger')).status).toBe(404);
  });
});

describe('"it is full"', () => {
  test('is told with one press and thanked for', async () => {
    const { get, post, reports } = open();
    const { status, location } = await post('/donor/sites/site-a/full', { factId: 'f9' });
    expect([status, location]).toEqual([303, '/donor?full=site-a#site-site-a']);
    expect(reports).toEqual([
      { factId: 'f9', donorId: 'harbour', siteId: 'site-a', at: NOW_AT, fraction: 1 },
    ]);
    expect((await get('/donor?full=site-a')).text).toContain(
      'Thank you: we know that Harbour Stores is full.',
    );
  });

  test('is not offered again where it was said, and not taken for a place of somebody else', async () => {
    const { get, post, reports } = open();
    const { html } = await get('/donor');
    expect(html).toContain('action="/donor/sites/site-a/full"');
    expect(html).not.toContain('action="/donor/sites/site-b/full"');
    expect((await post('/donor/sites/site-z/full', { factId: 'f9' })).status).toBe(404);
    expect((await post('/donor/sites/site-a/full', { factId: 'f9' }, 'stranger')).status).toBe(404);
    expect(reports).toEqual([]);
  });
});

describe('an extra collection', () => {
  test('asks at most eight questions, and answers those it can', async () => {
    const { html } = await open().get('/donor/sites/site-a/extra');
    const main = html.slice(html.indexOf('<main'), html.indexOf('</main'));
    // One field each; the four boxes are one question, and so are the number with its unit.
    const names = new Set(
      [...main.matchAll(/<(?:input|select|textarea)[^>]*\sname="(\w+)"/g)].map(([, n]) => n),
    );
    const questions = new Set(
      [...names].filter((n) => n !== 'factId').map((n) => (n?.startsWith('hazard') ? 'hazards' : n)),
    );
    questions.delete('unit');
    expect([...questions].sort()).toEqual([
      'amount',
      'eventEndsLocal',
      'eventKind',
      'fromDay',
      'hazards',
      'remarks',
      'untilDay',
    ]);
    expect(main).toContain('value="2026-03-13"');
    expect(main).toContain('value="2026-03-12T10:05"');
  });

  test('is handed in once with all that was said, and leads to a page that says what happens next', async () => {
    const { get, post, requests } = open();
    const { status, location } = await post('/donor/sites/site-a/extra', EXTRA);
    expect([status, location]).toEqual([303, '/donor/quotes/quote-1']);
    expect(requests).toMatchObject([
      {
        donorId: 'harbour',
        siteId: 'site-a',
        expectedBags: 40,
        hazards: 'wet',
        remarks: 'green gate',
      },
    ]);
    const offers = await get('/donor/quotes/quote-1');
    expect(offers.text).toContain('Saturday 14 March');
    expect(offers.text).toContain('on our way');
    expect(offers.text).toContain('5.9 km and 12 min more for us');
    // On our way comes first, whatever its day.
    expect(offers.text.indexOf('14 March')).toBeLessThan(offers.text.indexOf('13 March'));
    const slotFromAt = String(NOW_AT + 86_400);
    const chosen = await post('/donor/quotes/quote-1/take', { factId: 'f1', slotFromAt });
    expect(chosen.location).toBe('/donor/bookings/booking-1');
    expect((await get('/donor/quotes/quote-1', 'stranger')).status).toBe(404);
    const { text } = await get('/donor/bookings/booking-1');
    expect(text).toContain('We have your request');
    expect(text).toContain('It goes into the next plan.');
    expect(text).toContain('call +43 316 555 0142');
  });

  test('that is refused comes back with everything as typed, escaped', async () => {
    const { post, requests } = open();
    const { status, html } = await post('/donor/sites/site-a/extra', {
      ...EXTRA,
      amount: '<i>40</i>',
      remarks: '</textarea><script>',
    });
    expect(status).toBe(422);
    expect(html).toContain('value="&lt;i&gt;40&lt;/i&gt;"');
    expect(html).toContain('&lt;/textarea&gt;&lt;script&gt;');
    expect(html).toMatch(/value="festival" checked/);
    expect(html).toMatch(/name="hazardWet" value="yes" checked/);
    expect(requests).toEqual([]);
  });

  test.each([
    ['closed-all-window', 422, 'nobody is there on these days'],
    ['window-over', 422, 'This day is over'],
    ['booking-closed', 409, 'Nothing can be changed any more'],
    ['site-not-found', 404, 'no such days of yours'],
  ] as const)('refused as %s says so with %i', async (kind, status, sentence) => {
    const { post } = open({ quoteExtra: () => refuse({ kind } as never) });
    const answer = await post('/donor/sites/site-a/extra', EXTRA);
    expect(answer.status).toBe(status);
    expect(answer.text).toContain(sentence);
  });
});

describe('an offer that is gone', () => {
  test('says so, and shows what can be had now', async () => {
    const quote = { id: 'quote-2' } as never;
    const { post } = open({
      takeOffer: () => refuse({ kind: 'slot-taken', quote }),
      readOffer: (_, quoteId) => offerView({ quoteId, slots: offerView().slots.slice(0, 1) }),
    });
    const { status, html, text } = await post('/donor/quotes/quote-1/take', {
      factId: 'f1',
      slotFromAt: String(NOW_AT),
    });
    expect(status).toBe(409);
    expect(text).toContain('Somebody was a moment quicker');
    expect(html).toContain('action="/donor/quotes/quote-2/take"');
    expect(text).toContain('40 sacks');
  });

  test('with nothing left at all, the request can be left', async () => {
    const { get, post } = open({ readOffer: () => offerView({ slots: [] }) });
    expect((await get('/donor/quotes/quote-1')).text).toContain('No day fits yet');
    const left = await post('/donor/quotes/quote-1/wait', { factId: 'f1' });
    expect(left.location).toBe('/donor/bookings/booking-1');
  });
});

describe('a booking', () => {
  test('can be cancelled while it waits, and not once it is collected', async () => {
    const { get, post, cancels } = open();
    expect((await post('/donor/bookings/booking-1/cancel', {})).location).toBe('/donor/bookings/booking-1');
    expect(cancels).toEqual([{ donorId: 'harbour', bookingId: 'booking-1', at: NOW_AT }]);
    expect((await get('/donor/bookings/booking-1')).text).toContain('Cancel this collection');
    expect((await get('/donor/bookings/booking-3')).text).not.toContain('Cancel this collection');
  });

  test('that was closed meanwhile is a conflict, with what stands', async () => {
    const { post } = open({ cancelBooking: () => refuse({ kind: 'booking-closed', state: 'done' }) });
    const { status, text } = await post('/donor/bookings/booking-1/cancel', {});
    expect(status).toBe(409);
    expect(text).toContain('Nothing can be changed any more');
  });

  test('of somebody else is not there', async () => {
    const { get, post } = open({ cancelBooking: () => refuse({ kind: 'booking-not-found' }) });
    expect((await get('/donor/bookings/booking-1', 'stranger')).status).toBe(404);
    expect((await get('/donor/bookings/nothing')).status).toBe(404);
    expect((await post('/donor/bookings/booking-1/cancel', {}, 'stranger')).status).toBe(404);
  });

  test('with a planned visit says when', async () => {
    const { get } = open({
      readBooking: () => ({
        ...donorView,
        booking: booking({ state: 'confirmed', plannedAt: NOW_AT + 3600 }),
      }),
    });
    expect((await get('/donor/bookings/booking-1')).text).toContain(
      'We plan to be there on Thu 12 Mar, 11:05.',
    );
  });
});
