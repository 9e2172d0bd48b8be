/**
 * A year's record on paper: a statement by month, and every collection. Tagged, with language and title (ISO 14289,
 * PDF/UA asks for these), in a face that has every letter of Europe.
 */
import { fileURLToPath } from 'node:url';
import PDFDocument from 'pdfkit';
import type { Transfer } from '../../usecases/donor-records/transfers.ts';
import type { YearRecord } from '../../usecases/donor-records/year-record.ts';
import type { Say } from '../messages/say.ts';
import { localDay } from '../shared/format.ts';

const face = (name: string): string => fileURLToPath(import.meta.resolve(`dejavu-fonts-ttf/ttf/${name}.ttf`));
const PLAIN = face('DejaVuSans');
const BOLD = face('DejaVuSans-Bold');
const MARGIN = 50;

export async function recordPdf(record: YearRecord, say: Say): Promise<Uint8Array<ArrayBuffer>> {
  const words = say.became.paper;
  const doc = new PDFDocument({
    size: 'A4',
    margin: MARGIN,
    bufferPages: true,
    tagged: true,
    lang: say.language,
    displayTitle: true,
    pdfVersion: '1.7',
    info: {
      Title: words.title(record.year),
      Author: record.workshop.name,
      Subject: words.subject(record.donorName, record.workshop.name),
      CreationDate: new Date(record.madeAt * 1000),
    },
  });
  const chunks: Buffer[] = [];
  doc.on('data', (chunk: Buffer) => chunks.push(chunk));
  const ended = new Promise<void>((done) => doc.on('end', () => done()));
  heading(doc, record, say);
  statement(doc, record, say);
  transfers(doc, record, say);
  foot(doc, record, say);
  doc.end();
  await ended;
  return new Uint8Array(Buffer.concat(chunks));
}

type Doc = InstanceType<typeof PDFDocument>;

function title(doc: Doc, level: 'H1' | 'H2', text: string, size: number): void {
  doc.addStructure(
    doc.struct(level, {}, () => {
      doc.font(BOLD).fontSize(size).fillColor('black').text(text, MARGIN);
    }),
  );
}
function paragraph(doc: Doc, text: string, size = 9.5): void {
  doc.addStructure(
    doc.struct('P', {}, () => {
      doc.font(PLAIN).fontSize(size).fillColor('black').text(text, MARGIN, undefined, { lineGap: 2 });
    }),
  );
  doc.moveDown(0.5);
}

function heading(
  doc: Doc,
  { year, donorName, workshop, madeAt, isRunning }: YearRecord,
  { became: { paper: words }, f }: Say,
): void {
  title(doc, 'H1', words.title(year), 20);
  doc.moveDown(0.4);
  const today = localDay(madeAt, workshop.zone);
  for (const [name, value] of [
    [words.for, donorName],
    [words.by, [workshop.name, workshop.phone].filter(Boolean).join(', ')],
    [words.period, isRunning ? words.until(year, today) : words.year(year)],
    [words.made, f.dayYear(today)],
  ])
    paragraph(doc, `${name}: ${value}`, 10);
}

/** Cells of numbers stand at the right; the first row is the head. */
function table(
  doc: Doc,
  rows: readonly (readonly string[])[],
  widths: readonly number[],
  numbers: readonly number[],
): void {
  const [head = [], ...body] = rows;
  doc.font(PLAIN).fontSize(8);
  const cell = (text: string, column: number, isHead: boolean) => ({
    text,
    align: { x: numbers.includes(column) ? ('right' as const) : ('left' as const), y: 'top' as const },
    font: { src: isHead ? BOLD : PLAIN, size: 8 },
    ...(isHead ? { type: 'TH' as const, scope: 'Column' as const } : {}),
  });
  doc.x = MARGIN;
  const part = doc.struct('Sect');
  doc.addStructure(part);
  // Beyond the types: the part of the structure that the table hangs on.
  const tagged: PDFKit.Mixins.TableOptionsWithData & { readonly structParent: typeof part } = {
    structParent: part,
    columnStyles: [...widths],
    rowStyles: (row) => ({
      border: [row === 1 ? 1 : 0, 0, 0.5, 0],
      borderColor: row === 1 ? 'black' : '#999999',
    }),
    defaultStyle: { padding: 3 },
    data: [
      head.map((text, i) => cell(text, i, true)),
      ...body.map((row) => row.map((text, i) => cell(text, i, false))),
    ],
  };
  doc.table(tagged);
  part.end();
  doc.moveDown(1);
}

function statement(doc: Doc, { months, sum }: YearRecord, { became: words, f }: Say): void {
  const { paper } = words;
  title(doc, 'H2', paper.statement, 13);
  doc.moveDown(0.3);
  paragraph(
    doc,
    paper.sentence(
      sum.acceptedKg,
      sum.collectedKg,
      sum.collectedKg > 0 ? sum.acceptedKg / sum.collectedKg : 0,
    ),
    11,
  );
  paragraph(doc, paper.meaning);
  if (sum.estimatedKg > 0) paragraph(doc, paper.guessed(sum.estimatedKg));
  const row = (name: string, m: YearRecord['sum']): string[] => [
    name,
    f.number(m.pickups),
    f.kg(m.collectedKg),
    f.kg(m.rejectedKg),
    f.kg(m.acceptedKg),
    m.collectedKg > 0 ? f.percent(m.acceptedKg / m.collectedKg) : '–',
  ];
  table(
    doc,
    [
      [words.month, words.visits, paper.collected, paper.rejected, paper.accepted, words.share],
      ...months.filter(({ pickups }) => pickups > 0).map((m) => row(words.monthName(m.month), m)),
      row(paper.sum, sum),
    ],
    [130, 60, 80, 80, 80, 65],
    [1, 2, 3, 4, 5],
  );
}

function transfers(doc: Doc, record: YearRecord, say: Say): void {
  const words = say.became.paper;
  doc.addPage();
  title(doc, 'H2', words.transfers, 13);
  doc.moveDown(0.3);
  paragraph(doc, words.transfersNote);
  table(
    doc,
    [
      [words.day, words.place, words.how, words.bags, words.collected, words.rejected, words.accepted],
      ...record.transfers.map((t) => transferRow(t, record.workshop.zone, say)),
    ],
    [95, 130, 75, 40, 50, 60, 45],
    [3, 4, 5, 6],
  );
}

function transferRow(t: Transfer, zone: string, { f, words }: Say): string[] {
  const why = t.rejectReason === null ? '' : ` (${words.reject[t.rejectReason]})`;
  return [
    f.dateTime(t.at, zone),
    [t.siteName, t.address].filter(Boolean).join(', '),
    words.method[t.isWeighed ? t.method : t.bags === null ? 'estimate' : 'bag-count'],
    t.bags === null ? '–' : f.number(t.bags, t.bags % 1 === 0 ? 0 : 1),
    f.kg(t.collectedKg),
    t.rejectedKg > 0 ? f.kg(t.rejectedKg) + why : '–',
    f.kg(t.acceptedKg),
  ];
}

/** Page numbers are furniture, not content: artifacts to a screen reader. */
function foot(doc: Doc, record: YearRecord, say: Say): void {
  const { count } = doc.bufferedPageRange();
  for (let i = 0; i < count; i++) {
    doc.switchToPage(i);
    doc.page.margins.bottom = 0;
    doc.markContent('Artifact', { type: 'Pagination' });
    doc
      .font(PLAIN)
      .fontSize(7.5)
      .fillColor('#555555')
      .text(
        `${record.workshop.name} · ${say.became.paper.page(i + 1, count)}`,
        MARGIN,
        doc.page.height - 35,
        {
          width: doc.page.width - 2 * MARGIN,
          align: 'right',
          lineBreak: false,
        },
      );
    doc.endMarkedContent();
  }
}
