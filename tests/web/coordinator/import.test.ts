/** Files over HTTP: checked first, kept once, and every mistake named with the person's own file name. */
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { listVans } from '../../../src/store/vans.ts';
import { listGrades, requireWorkshop } from '../../../src/store/workshop.ts';
import { plainSpaces } from '../../../src/web/shared/format.ts';
import { type Demo, ORIGIN, openDemo } from '../../fixtures/demo-app.ts';

let demo: Demo;
let token: string;
beforeAll(async () => {
  demo = await openDemo();
  token = demo.signIn('coordinator');
});
afterAll(() => demo.close());

const headers = () => ({ authorization: `Bearer ${token}`, origin: ORIGIN });
const upload = (kind: string, name: string, content: string) => {
  const body = new FormData();
  body.set('file', new File([content], name));
  return demo.app.request(`/import/${kind}`, { method: 'POST', headers: headers(), body });
};
const post = (path: string, fields: Record<string, string> = {}) =>
  demo.app.request(path, { method: 'POST', headers: headers(), body: new URLSearchParams(fields) });
const textOf = async (answer: Response) =>
  plainSpaces(
    (await answer.text())
      .replaceAll(/<[^>]+>/g, ' ')
      .replaceAll(/\s+/g, ' ')
      .replaceAll('&quot;', '"'),
  );
const HEADER = 'key,name,payload_kg,load_space_l,cost_per_km,check_due';

describe('a file', () => {
  test('is checked, then kept once: its preview says what changes and keeps nothing', async () => {
    const before = listVans(demo.context.store).length;
    const checked = await upload('vans', 'our vans.csv', `${HEADER}\nlark,Lark,600,5000,0.4,2027-03-31\n`);
    expect(checked.status).toBe(200);
    const html = await checked.text();
    expect(html).toContain('1 new, 0 changed, 0 there already');
    expect(html).toContain('our vans.csv');
    expect(listVans(demo.context.store)).toHaveLength(before);

    const path = /action="(\/import\/vans\/[^"]+)"/.exec(html)![1]!;
    const kept = await post(path);
    expect(kept.headers.get('location')).toBe('/import?kept=vans');
    expect(listVans(demo.context.store).find(({ key }) => key === 'lark')).toMatchObject({
      payloadKg: 600,
      checkDueDay: '2027-03-31',
    });
    const twice = await post(path);
    expect(twice.status).toBe(409);
    expect(await textOf(twice)).toContain('nothing was kept');
  });

  test('that is there already would change nothing, and says so', async () => {
    await upload('vans', 'a.csv', `${HEADER}\nlark,Lark,600,5000,0.4,2027-03-31\n`);
    const again = await upload('vans', 'a.csv', `${HEADER}\nlark,Lark,600,5000,0.4,2027-03-31\n`);
    expect(await textOf(again)).toContain('nothing would change');
  });

  test('with mistakes names each with its line, and keeps nothing', async () => {
    const answer = await upload(
      'vans',
      'bad.csv',
      `${HEADER}\nowl,,600,5000,0.4,soon\nowl,Owl,0,5000,0.4,\n`,
    );
    expect(answer.status).toBe(422);
    const text = await textOf(answer);
    expect(text).toContain('line 2, name');
    expect(text).toContain('line 2, check_due "soon"');
    expect(text).toContain('line 3, payload_kg "0"');
    expect(listVans(demo.context.store).some(({ key }) => key === 'owl')).toBe(false);
  });

  test.each([
    ['cut.csv', 'key,nam\n1,2\n', 'cut.csv, line 1: "nam" is no column of vans (did you mean name?)'],
    ['empty.csv', '', 'Choose a file that is not empty.'],
    ['map.json', '{', 'map.json is no JSON'],
  ])(
    '%s cannot be read, and the sentence names it without a path of ours',
    async (name, content, sentence) => {
      const answer = await upload('vans', name, content);
      expect(answer.status).toBe(422);
      const text = await textOf(answer);
      expect(text).toContain(sentence);
      expect(text).not.toContain('feedround-upload-');
    },
  );

  test('of the export comes in again without a change', async () => {
    const example = await demo.app.request('/import/vans/example.csv', { headers: headers() });
    expect(await example.text()).toBe(`${HEADER}\n`);
  });

  test('of no known table is not found', async () => {
    expect((await upload('spoons', 'a.csv', 'key\n')).status).toBe(404);
    expect((await post('/import/vans/none')).status).toBe(409);
  });
});

describe('the workshop’s page', () => {
  const fieldsNow = async (): Promise<Record<string, string>> => {
    const html = await (await demo.app.request('/workshop', { headers: headers() })).text();
    const inputs = [...html.matchAll(/<input ([^>]*)>/g)].map(([, rest = '']) => rest);
    const of = (rest: string, name: string) => new RegExp(`${name}="([^"]*)"`).exec(rest)?.[1] ?? '';
    const typed = inputs.map((rest) => [of(rest, 'name'), of(rest, 'value')]);
    const zone = /<option value="([^"]+)" selected/.exec(html)?.[1] ?? '';
    const { role: _, ...fields } = Object.fromEntries(typed.filter(([name]) => name !== ''));
    return { ...fields, zone };
  };

  test('kept as it stands changes nothing', async () => {
    const before = { ...requireWorkshop(demo.context.store), grades: listGrades(demo.context.store) };
    const answer = await post('/workshop', await fieldsNow());
    expect(answer.status).toBe(303);
    expect({ ...requireWorkshop(demo.context.store), grades: listGrades(demo.context.store) }).toEqual(
      before,
    );
  });

  test('a changed store and price are kept; prices of the planner stay', async () => {
    const { settings } = requireWorkshop(demo.context.store);
    const answer = await post('/workshop', {
      ...(await fieldsNow()),
      store_limit_kg: '1 750,5',
      gradePrice0: '1,05',
    });
    expect(answer.status).toBe(303);
    expect(requireWorkshop(demo.context.store)).toMatchObject({ storeLimitKg: 1750.5, settings });
    expect(listGrades(demo.context.store).some((one) => one.buyPriceMicrosPerKg === 1_050_000)).toBe(true);
  });

  test('a grade that is kept cannot be left out by a forged form', async () => {
    const { grade0: _, ...fields } = await fieldsNow();
    const count = listGrades(demo.context.store).length;
    await post('/workshop', fields);
    expect(listGrades(demo.context.store)).toHaveLength(count);
  });

  test('what is wrong is named, all of it at once', async () => {
    const answer = await post('/workshop', {
      ...(await fieldsNow()),
      lat: '91',
      currency: 'euro',
      zone: 'Mars/Base',
    });
    expect(answer.status).toBe(422);
    const text = await textOf(answer);
    for (const sentence of ['Degrees from −90 to 90', 'Three capital letters', 'Choose the time zone'])
      expect(text).toContain(sentence);
  });
});
