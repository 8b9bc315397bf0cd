/** Sends a folder's files to a set as they become whole, once each, and keeps account of what came of each. */
import { Refused } from '../../../libs/contracts/client.js';
import { problem, type Problem } from '../../../libs/measurement-files/problem.js';
import { sayBytes } from '../../../libs/measurement-files/limits.js';
import { isHeldElsewhere, sameNameInOtherCase, whyNotOnWindows } from './fileNames.js';
import type { KeptJournal } from './journal.js';
import { hashWhole, lookAtFolder, type FoundFile } from './lookAtFolder.js';
import { persist, type Patience } from './patience.js';
import { sendFile, type SendDoors } from './sendFile.js';
import { isAboutTheFile, type SetAtServer } from './setAtServer.js';
import type { Settling } from './settling.js';

export interface WholeFile extends FoundFile {
  readonly sha256: string;
}
export type FileState = 'arrived' | 'already-there' | 'taken-out' | 'refused';

export interface SendWorld {
  readonly folder: string;
  /** Also what was taken out of the set on the server. */
  readonly again: boolean;
  readonly set: SetAtServer;
  readonly kept: KeptJournal;
  readonly settling: Settling;
  readonly patience: Patience;
  readonly doors: Pick<SendDoors, 'serverUrl' | 'token'>;
  readonly say: (line: string) => void;
}

export class FolderSender {
  readonly #states = new Map<string, FileState>();
  readonly #problems = new Map<string, Problem>();
  readonly #said = new Set<string>();
  #whole: readonly WholeFile[] = [];

  constructor(private readonly world: SendWorld) {}

  /** What came of each whole file. */
  get files(): { name: string; sha256: string; bytes: number; state: FileState }[] {
    return this.#whole.map(({ name, sha256, bytes }) => ({
      name,
      sha256,
      bytes,
      state: this.#states.get(name) ?? 'refused',
    }));
  }
  get problems(): Problem[] {
    return [...this.#problems.values()];
  }

  /**
   * One look at the folder, and everything sent that is whole.
   * @returns the names of files that are not whole yet, and how many arrived now
   */
  async pass(): Promise<{ waiting: string[]; arrived: number }> {
    const { files, problems } = await lookAtFolder(this.world.folder);
    for (const one of problems) this.#note(one.file, one);
    this.#warnOfNames(files);
    const waiting: string[] = [];
    const whole: WholeFile[] = [];
    for (const file of files) {
      const sha256 = await this.#hashOf(file);
      if (sha256 === undefined) waiting.push(file.name);
      else whole.push({ ...file, sha256 });
    }
    this.#whole = whole;
    return { waiting, arrived: await this.#sendNew(whole) };
  }

  async #hashOf(file: FoundFile): Promise<string | undefined> {
    const { settling, kept } = this.world;
    if (!settling.look(file.name, file, Date.now())) return undefined;
    const known = kept.journal.files[file.name];
    if (known?.bytes === file.bytes && known.modifiedMs === file.modifiedMs) return known.sha256;
    try {
      const sha256 = await hashWhole(file);
      if (sha256 === undefined) settling.forget(file.name);
      else await this.#remember(file, { sha256 });
      return sha256;
    } catch (error) {
      return this.#notReadable(file.name, (error as NodeJS.ErrnoException).code);
    }
  }

  #notReadable(name: string, code: string | undefined): undefined {
    this.world.settling.forget(name);
    if (code === 'ENOENT') return undefined;
    if (isHeldElsewhere(code, process.platform))
      this.#sayOnce(`${name} is held by another program; it is sent when that lets go of it.`);
    else
      this.#note(
        name,
        problem(
          name,
          undefined,
          'not-readable',
          `It can’t be read (${code}).`,
          'Give yourself the right to read it.',
        ),
      );
    return undefined;
  }

  async #sendNew(whole: readonly WholeFile[]): Promise<number> {
    const { set } = this.world;
    const changed = whole.filter(({ name, sha256 }) => {
      const there = set.there.get(name);
      return there !== undefined && there !== sha256 && this.#states.get(name) !== 'refused';
    });
    if (changed.length > 0) await this.#beginAnew(changed.map(({ name }) => name));
    let arrived = 0;
    for (const file of whole) if (await this.#send(file)) arrived++;
    if (arrived > 0) await set.look();
    return arrived;
  }

  async #beginAnew(changed: readonly string[]): Promise<void> {
    const { set, say, kept } = this.world;
    const before = set.set.name;
    for (const [name, file] of Object.entries(kept.journal.files)) {
      const { sha256, bytes, modifiedMs } = file;
      kept.journal.files[name] = { sha256, bytes, modifiedMs };
    }
    this.#states.clear();
    const { name } = await set.beginAnew(changed);
    say(
      `${changed.join(', ')} changed after “${before}” had it: everything goes into “${name}”, and what was sent first is kept.`,
    );
  }

  /** @returns whether it arrived now */
  async #send(file: WholeFile): Promise<boolean> {
    const { set, kept, say, again } = this.world;
    const known = kept.journal.files[file.name];
    if (set.there.get(file.name) === file.sha256) {
      if (!this.#states.has(file.name)) this.#states.set(file.name, 'already-there');
      if (!known?.arrived) await this.#remember(file, { sha256: file.sha256, arrived: true });
      return false;
    }
    if (this.#states.get(file.name) === 'arrived') return false;
    if (known?.arrived && known.sha256 === file.sha256 && !again) {
      this.#states.set(file.name, 'taken-out');
      this.#sayOnce(
        `${file.name} was taken out of the set on the server; it stays out. Send it with --again.`,
      );
      return false;
    }
    if (this.#problems.has(file.name) && this.#states.get(file.name) === 'refused') return false;
    try {
      await this.#bring(file);
    } catch (error) {
      return this.#refused(file.name, error);
    }
    this.#states.set(file.name, 'arrived');
    this.#problems.delete(file.name);
    await this.#remember(file, { sha256: file.sha256, arrived: true });
    say(`${file.name} arrived (${sayBytes(file.bytes)}).`);
    return true;
  }

  async #bring(file: WholeFile): Promise<void> {
    const { set, kept, patience, doors } = this.world;
    await persist(
      () =>
        sendFile(
          { ...file, setId: set.set.id, uploadUrl: kept.journal.files[file.name]?.uploadUrl },
          {
            ...doors,
            signal: patience.signal,
            begun: (uploadUrl) => void this.#remember(file, { sha256: file.sha256, uploadUrl }),
          },
        ),
      patience,
    );
  }

  #refused(name: string, error: unknown): false {
    if (error instanceof Refused && error.refusal.code === 'arrived-changed') {
      // Written to while it was on its way: it was not whole after all.
      this.world.settling.forget(name);
      delete this.world.kept.journal.files[name];
      this.#sayOnce(`${name} changed while it was sent; it is sent again when it is whole.`);
      return false;
    }
    if (!isAboutTheFile(error)) throw error;
    this.#states.set(name, 'refused');
    const { message, remedy } = error.refusal;
    this.#note(
      name,
      problem(name, undefined, 'not-readable', message, remedy ?? 'Change it and send it again.'),
    );
    return false;
  }

  #warnOfNames(files: readonly FoundFile[]): void {
    for (const { name } of files) {
      const why = whyNotOnWindows(name);
      if (why) this.#sayOnce(`${name}: ${why}; the set could not be unpacked there.`);
    }
    for (const [one, other] of sameNameInOtherCase(files.map(({ name }) => name)))
      this.#sayOnce(`${one} and ${other} would be one file on Windows; rename one of them.`);
  }

  async #remember(
    file: FoundFile,
    known: { sha256: string; uploadUrl?: string; arrived?: boolean },
  ): Promise<void> {
    const { bytes, modifiedMs, name } = file;
    this.world.kept.journal.files[name] = { bytes, modifiedMs, ...known };
    await this.world.kept.save();
  }

  #note(name: string, one: Problem): void {
    this.#problems.set(name, one);
    this.#sayOnce(`${one.file}: ${one.message} ${one.remedy}`);
  }

  #sayOnce(line: string): void {
    if (this.#said.has(line)) return;
    this.#said.add(line);
    this.world.say(line);
  }
}
