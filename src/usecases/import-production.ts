/** Products, production days and stock movements from their tables. */
import { dayStart } from '../core/calendar/zone.ts';
import { GRADES, type Grade, STOCK_KINDS, type StockKind } from '../core/vocabulary.ts';
import type { Tx } from '../store/db.ts';
import { listProductionDays, type ProductionDay, saveProductionDay } from '../store/production.ts';
import { listProducts, type Product, saveProduct } from '../store/products.ts';
import { listKeyedMovements, moveStock, replaceKeyedMovement, type StockMovement } from '../store/stock.ts';
import { listGrades, requireWorkshop } from '../store/workshop.ts';
import type { MakeImport } from './import-table.ts';
import { toGram } from './tables/cells.ts';
import { oneByOne, writeIfNew } from './tables/count-writes.ts';

export const gradesOf = (tx: Tx): ReadonlySet<Grade> => new Set(listGrades(tx).map((row) => row.grade));

export const importProducts: MakeImport<Product> = (tx, { newId }) => {
  const known = new Map(listProducts(tx).map((row) => [row.key, row]));
  const grades = gradesOf(tx);
  return oneByOne<Product>(
    (cells) => {
      const key = cells.key('key');
      const gradeShares = cells.shares('grades', grades);
      if (Object.keys(gradeShares).length === 0 && cells.raw('grades') === '')
        cells.fault('grades', 'must not be empty: shares such as ldpe-clear:0.6;ldpe-printed:0.4');
      return {
        id: known.get(key)?.id ?? newId(),
        key,
        name: cells.needed('name'),
        filmKgPerUnit: toGram(cells.neededNumber('film_kg_per_unit', { min: 0.001, max: 1000, unit: 'kg' })),
        yieldShare: cells.neededNumber('yield', { min: 0.01, max: 1, unit: '(a share)' }),
        offCutReturnShare: cells.neededNumber('off_cut_return', { min: 0, max: 1, unit: '(a share)' }),
        gradeShares,
      };
    },
    (product) => product.key,
    (product) => writeIfNew(known.get(product.key), product, (next) => saveProduct(tx, next)),
  );
};

export const importProduction: MakeImport<ProductionDay> = (tx) => {
  const products = new Map(listProducts(tx).map((row) => [row.key, row]));
  const identity = (run: ProductionDay): string => `${run.day} ${run.productKey}`;
  const known = new Map(listProductionDays(tx).map((row) => [identity(row), row]));
  return oneByOne<ProductionDay>(
    (cells) => {
      const product = cells.reference('product', products, 'product');
      const day = cells.neededDay('day');
      const units = cells.neededNumber('units', { min: 0, max: 1_000_000, unit: 'units' });
      if (!Number.isInteger(units)) cells.fault('units', 'must be a whole number of units');
      const run = { productId: product?.id ?? '', productKey: product?.key ?? '', day, units, doneAt: null };
      const before = known.get(identity(run));
      if (before && before.doneAt !== null && before.units !== units)
        cells.fault(
          'units',
          `that run was pressed already with ${before.units} units; correct the stock instead`,
        );
      return { ...run, doneAt: before?.doneAt ?? null };
    },
    identity,
    (run) => writeIfNew(known.get(identity(run)), run, (next) => saveProductionDay(tx, next)),
  );
};

/** What is weighed in comes from weigh-ins alone, or film would be counted twice. */
const KEPT_BY_HAND = STOCK_KINDS.filter((kind) => kind !== 'collected' && kind !== 'rejected');
const GOES_OUT: readonly StockKind[] = ['production', 'sold', 'disposed'];

export const importStock: MakeImport<StockMovement> = (tx, { newId }) => {
  const { zone } = requireWorkshop(tx);
  const known = new Map(listKeyedMovements(tx).map((row) => [row.key!, row]));
  const grades = gradesOf(tx);
  return oneByOne<StockMovement>(
    (cells) => {
      const key = cells.key('key');
      cells.keepKnown({ note: known.get(key)?.note ?? '' });
      const day = cells.neededDay('day');
      const grade = cells.neededOneOf('grade', [...grades].length > 0 ? [...grades] : GRADES);
      const kind = cells.neededOneOf('kind', KEPT_BY_HAND);
      const kg = cells.neededNumber('kg', { min: -100_000, max: 100_000, unit: 'kg' });
      if (GOES_OUT.includes(kind) && kg > 0)
        cells.fault('kg', `${kind} takes film out: write a negative mass`);
      if (!GOES_OUT.includes(kind) && kind !== 'correction' && kg < 0)
        cells.fault('kg', `${kind} brings film in: write a positive mass`);
      return {
        id: known.get(key)?.id ?? newId(),
        key,
        at: dayStart(zone, day),
        day,
        grade,
        kind,
        kg: toGram(kg),
        weighInId: null,
        productId: null,
        note: cells.raw('note'),
      };
    },
    (movement) => movement.key ?? '',
    (movement) =>
      writeIfNew(known.get(movement.key ?? ''), movement, (next) =>
        known.has(next.key ?? '') ? replaceKeyedMovement(tx, next) : moveStock(tx, next),
      ),
  );
};
