/**
 * The phone's database in plain memory, for thousands of tries: the calls that the outbox makes, with what IndexedDB
 * promises of them. A transaction is whole or nothing, two that touch one store run one after the other, and a row is
 * a copy. A tab may die at any call, in the middle of a transaction as well; what that one wrote is then gone.
 */

import type { ClubDatabase } from '~/store/db.ts';
import type { StoreName } from '~/store/records.ts';

type Row = Record<string, unknown>;
type Rows = Map<string, Row>;

/** What each store is kept by, and its indexes: as the migrations make them. */
const INDEXES: Partial<Record<StoreName, Record<string, string>>> = {
  outbox: { by_order: 'order' },
  photo_queue: { by_act: 'act' },
};

/** The disk of one phone: it outlives the tabs that die on it. */
export class Disk {
  readonly stores = new Map<StoreName, Rows>();
  private last: Promise<void> = Promise.resolve();

  rows(name: StoreName): Rows {
    const rows = this.stores.get(name) ?? new Map<string, Row>();
    this.stores.set(name, rows);
    return rows;
  }

  /** Waits for every transaction before; the caller lets the next one go. */
  async turn(): Promise<() => void> {
    const before = this.last;
    let letGo = (): void => {};
    this.last = new Promise((resolve) => {
      letGo = resolve;
    });
    await before;
    return letGo;
  }
}

class Write {
  private readonly copies = new Map<StoreName, Rows>();
  private readonly start: Promise<() => void>;
  private isOver = false;

  constructor(
    private readonly disk: Disk,
    private readonly names: StoreName[],
    private readonly step: () => void,
  ) {
    this.start = disk.turn();
  }

  /** Asked for once everything else of the transaction was. */
  get done(): Promise<void> {
    return this.end();
  }

  get store() {
    return this.objectStore(this.names[0] as StoreName);
  }

  objectStore(name: StoreName) {
    if (!this.names.includes(name)) throw new Error(`The transaction does not hold ${name}.`);
    const call = async <T>(work: (rows: Rows) => T): Promise<T> => {
      const letGo = await this.start;
      if (this.isOver) throw new Error('The transaction is over.');
      try {
        this.step();
      } catch (death) {
        this.isOver = true;
        letGo();
        throw death;
      }
      const rows = this.copies.get(name) ?? new Map(this.disk.rows(name));
      this.copies.set(name, rows);
      return work(rows);
    };
    const put = (row: Row) =>
      call((rows) => {
        keepUnique(name, rows, row);
        rows.set(String(row.id), structuredClone(row));
      });
    return {
      get: (key: string) => call((rows) => structuredClone(rows.get(key))),
      getAll: () => call((rows) => structuredClone([...rows.values()])),
      getAllKeys: () => call((rows) => [...rows.keys()]),
      delete: (key: string) => call((rows) => rows.delete(key)),
      clear: () => call((rows) => rows.clear()),
      put,
      add: (row: Row) =>
        call((rows) => {
          if (rows.has(String(row.id))) throw new DOMException('That key is there.', 'ConstraintError');
          keepUnique(name, rows, row);
          rows.set(String(row.id), structuredClone(row));
        }),
      index: (by: string) => {
        const field = fieldOf(name, by);
        return {
          getAll: () => call((rows) => structuredClone(sorted(rows, field))),
          getAllKeys: (value: unknown) =>
            call((rows) => [...rows].filter(([, row]) => row[field] === value).map(([key]) => key)),
          openKeyCursor: () =>
            call((rows) => {
              const last = sorted(rows, field).at(-1);
              return last ? { key: last[field] } : null;
            }),
        };
      },
    };
  }

  private async end(): Promise<void> {
    const letGo = await this.start;
    if (this.isOver) return;
    try {
      this.step();
      for (const [name, rows] of this.copies) this.disk.stores.set(name, rows);
    } finally {
      this.isOver = true;
      letGo();
    }
  }
}

function fieldOf(name: StoreName, by: string): string {
  const field = INDEXES[name]?.[by];
  if (!field) throw new Error(`${name} has no index ${by}.`);
  return field;
}

function sorted(rows: Rows, field: string): Row[] {
  return [...rows.values()].sort((a, b) => Number(a[field]) - Number(b[field]));
}

/** The queue's places are unique, as its index demands. */
function keepUnique(name: StoreName, rows: Rows, row: Row): void {
  if (name !== 'outbox') return;
  for (const [key, other] of rows) {
    if (key !== row.id && other.order === row.order)
      throw new DOMException('Two in one place.', 'ConstraintError');
  }
}

/** One tab's way to the disk; `step` is asked before every call and throws when the tab is dead. */
export function tabOn(disk: Disk, step: () => void = () => {}): ClubDatabase {
  const write = (names: StoreName | readonly StoreName[]) =>
    new Write(disk, typeof names === 'string' ? [names] : [...names], step);
  const once = async <T>(name: StoreName, work: (store: ReturnType<Write['objectStore']>) => Promise<T>) => {
    const transaction = write(name);
    const found = await work(transaction.objectStore(name));
    await transaction.done;
    return found;
  };
  const tab = {
    name: 'memory',
    transaction: (names: StoreName | readonly StoreName[]) => {
      step();
      return write(names);
    },
    get: (name: StoreName, key: string) => once(name, (store) => store.get(key)),
    getAllFromIndex: (name: StoreName, by: string) => once(name, (store) => store.index(by).getAll()),
    close: () => {},
  };
  return tab as unknown as ClubDatabase;
}
