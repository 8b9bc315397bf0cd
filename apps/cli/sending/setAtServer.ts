/** The measurement set at the server: found or begun, compared, begun anew for what was measured again, analysed. */
import { setTimeout as sleep } from 'node:timers/promises';
import { Refused, type Client } from '../../../libs/contracts/client.js';
import type { AnalysisView, SetView } from '../../../libs/contracts/index.js';
import { isEnded } from '../../../libs/contracts/sendToSet.js';
import type { KeptJournal } from './journal.js';
import { persist, type Patience } from './patience.js';

const LOOK_AGAIN_MS = 500;

/** “NAME”, and “NAME (2)” and so on for what was measured again. */
export function versionOf(name: string, setName: string): number | undefined {
  if (setName === name) return 1;
  const number = Number(/^ \((\d+)\)$/.exec(setName.startsWith(name) ? setName.slice(name.length) : '')?.[1]);
  return number >= 2 ? number : undefined;
}

export class SetAtServer {
  #set: SetView | undefined;

  constructor(
    private readonly client: Client,
    private readonly asked: { readonly unitId: string; readonly setName: string },
    private readonly kept: KeptJournal,
    private readonly patience: Patience,
  ) {}

  get set(): SetView {
    if (!this.#set) throw new Error('The set was not found yet.');
    return this.#set;
  }

  /** SHA-256 by name of what is there. */
  get there(): ReadonlyMap<string, string> {
    return new Map(this.set.files.map(({ name, sha256 }) => [name, sha256]));
  }

  /** Finds the set by its name, or begins it; an answer that was lost on the way does not begin a second. */
  async find(): Promise<SetView> {
    return this.#take(() => this.#findOrBegin());
  }

  async look(): Promise<SetView> {
    return this.#take(() => this.client.set(this.set.id));
  }

  /** Another set for files that differ from those there: what was measured first is never written over. */
  async beginAnew(changed: readonly string[]): Promise<SetView> {
    const replaces = { setId: this.set.id, changed };
    return this.#take(async () => {
      const sets = await this.client.sets(this.asked.unitId);
      const versions = sets.map(({ name }) => versionOf(this.asked.setName, name) ?? 0);
      // Begun by a try whose answer was lost: empty, newer than the one it replaces, and of the next name.
      const next = `${this.asked.setName} (${Math.max(...versions) + 1})`;
      const begun = sets.find(
        ({ name, files, createdAt }) =>
          files.length === 0 &&
          createdAt > this.set.createdAt &&
          versionOf(this.asked.setName, name) !== undefined,
      );
      const set = begun ?? (await this.client.addSet(this.asked.unitId, { name: next }));
      this.kept.journal.replaces = replaces;
      return set;
    });
  }

  /** Once the new one is whole: the one before is kept, and no longer counted. */
  async setEarlierAside(): Promise<string | undefined> {
    const { replaces } = this.kept.journal;
    if (!replaces) return undefined;
    const name = await persist(async () => {
      const earlier = await this.client.set(replaces.setId);
      const setAsideWhy = `Measured again: ${replaces.changed.join(', ')}`.slice(0, 400);
      if (earlier.setAsideWhy === null)
        await this.client.changeSet(earlier.id, { version: earlier.version, setAsideWhy });
      return earlier.name;
    }, this.patience);
    delete this.kept.journal.replaces;
    await this.kept.save();
    return name;
  }

  /** Asks for the analysis of what is there now, unless it has one, and waits for it. */
  async analyse(): Promise<AnalysisView> {
    const set = await this.look();
    const current = set.analyses.find((one) => one.current && one.state !== 'quarantined');
    const { id } = current ?? (await persist(() => this.client.requestAnalysis(set.id), this.patience));
    for (;;) {
      const analysis = await persist(() => this.client.analysis(id), this.patience);
      if (isEnded(analysis) || this.patience.signal.aborted) return analysis;
      await sleep(LOOK_AGAIN_MS);
    }
  }

  async #take(work: () => Promise<SetView>): Promise<SetView> {
    const set = await persist(work, this.patience);
    this.#set = set;
    if (this.kept.journal.setId !== set.id) {
      this.kept.journal.setId = set.id;
      await this.kept.save();
    }
    return set;
  }

  async #findOrBegin(): Promise<SetView> {
    const { unitId, setName } = this.asked;
    const counted = (await this.client.sets(unitId)).filter(({ setAsideWhy }) => setAsideWhy === null);
    const own = counted.find(({ id }) => id === this.kept.journal.setId);
    const named = counted.findLast(({ name }) => versionOf(setName, name) !== undefined);
    return own ?? named ?? this.client.addSet(unitId, { name: setName });
  }
}

/** Whether the server has said no to one file, and not to who asks or to everything. */
export const isAboutTheFile = (error: unknown): error is Refused =>
  error instanceof Refused && [409, 413, 415, 422].includes(error.status);
