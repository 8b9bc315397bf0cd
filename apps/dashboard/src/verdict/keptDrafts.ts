/**
 * Words written in a draft that the server has not confirmed yet, kept in this browser. Once they are confirmed, nothing
 * of the draft stays behind on the device.
 */
import { createStore, del, entries, set } from 'idb-keyval';
import * as Y from 'yjs';

const store = createStore('sojourn-drafts', 'unsent');
const prefixOf = (personId: string, loanId: string): string => `${personId} ${loanId} `;

export class KeptDraft {
  readonly #prefix: string;
  readonly #key: string;
  #work: Promise<void> = Promise.resolve();
  /** What earlier pages left, confirmed together with our own. */
  #found: string[] = [];

  /** @param seat one open page: two pages of one person do not overwrite each other's words */
  constructor(personId: string, loanId: string, seat: string) {
    this.#prefix = prefixOf(personId, loanId);
    this.#key = `${this.#prefix}${seat}`;
  }

  /** What was left by pages that closed before their words were confirmed. */
  async read(): Promise<Uint8Array | undefined> {
    const left = await entries<string, Uint8Array>(store);
    const mine = left.filter(([key]) => key.startsWith(this.#prefix));
    this.#found = mine.map(([key]) => key);
    return mine.length === 0 ? undefined : Y.mergeUpdates(mine.map(([, update]) => update));
  }

  /** One after the other, so that the newest state is what stays. */
  keep(document: Y.Doc): Promise<void> {
    return this.#next(() => set(this.#key, Y.encodeStateAsUpdate(document), store));
  }

  forget(): Promise<void> {
    return this.#next(async () => {
      for (const key of [this.#key, ...this.#found]) await del(key, store);
      this.#found = [];
    });
  }

  #next(work: () => Promise<void>): Promise<void> {
    this.#work = this.#work.then(work, work);
    return this.#work;
  }
}
