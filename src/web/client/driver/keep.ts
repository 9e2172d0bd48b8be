/** What the phone keeps, in IndexedDB: the facts, and a few things under a name. Nothing here knows what they mean. */
import type { Fact } from './fact.ts';
import type { FactStore } from './hand-in.ts';

const NAME = 'feedround-driver';
const VERSION = 1;

export type Keep = FactStore & {
  readonly get: <T>(name: string) => Promise<T | undefined>;
  readonly set: (name: string, value: unknown) => Promise<void>;
  readonly forget: (name: string) => Promise<void>;
};

export async function openKeep(): Promise<Keep> {
  const database = await opened();
  /** Ends when the browser says that it is on disk. */
  const within = <T>(
    name: 'facts' | 'named',
    mode: IDBTransactionMode,
    work: (store: IDBObjectStore) => IDBRequest<T>,
  ): Promise<T> =>
    new Promise((resolve, reject) => {
      const transaction = database.transaction(name, mode, { durability: 'strict' });
      const request = work(transaction.objectStore(name));
      transaction.oncomplete = () => resolve(request.result);
      transaction.onabort = () => reject(transaction.error ?? request.error);
    });
  const none = async (done: Promise<unknown>): Promise<void> => void (await done);
  return {
    facts: () => within('facts', 'readonly', (store) => store.getAll() as IDBRequest<Fact[]>),
    async add(fact) {
      const seq = await within('facts', 'readwrite', (store) => store.add(fact));
      return { ...fact, seq: Number(seq) };
    },
    put: (fact) => none(within('facts', 'readwrite', (store) => store.put(fact))),
    drop: async (facts) => {
      for (const { seq } of facts) await within('facts', 'readwrite', (store) => store.delete(seq));
    },
    get: (name) => within('named', 'readonly', (store) => store.get(name)),
    set: (name, value) => none(within('named', 'readwrite', (store) => store.put(value, name))),
    forget: (name) => none(within('named', 'readwrite', (store) => store.delete(name))),
  };
}

const opened = (): Promise<IDBDatabase> =>
  new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = () => {
      const facts = request.result.createObjectStore('facts', { keyPath: 'seq', autoIncrement: true });
      // A fact that is written twice would be two: the store itself refuses it.
      facts.createIndex('id', 'id', { unique: true });
      request.result.createObjectStore('named');
    };
    request.onsuccess = () => {
      // A newer version in another tab must not wait for this one.
      request.result.onversionchange = () => request.result.close();
      resolve(request.result);
    };
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error('another tab holds an older store'));
  });
