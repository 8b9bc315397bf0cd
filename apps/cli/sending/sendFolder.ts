/** From a request to an outcome: once through the folder, or for as long as somebody measures. */
import { setTimeout as sleep } from 'node:timers/promises';
import type { Client } from '../../../libs/contracts/client.js';
import type { AnalysisView } from '../../../libs/contracts/index.js';
import { problem, type Problem } from '../../../libs/measurement-files/problem.js';
import { FolderSender } from './FolderSender.js';
import { journalFolder, openJournal, type KeptJournal } from './journal.js';
import { persist, type Patience } from './patience.js';
import { exitCodeOf, sayFindings } from './sayFindings.js';
import type { SendRequest } from './sendArguments.js';
import { SetAtServer } from './setAtServer.js';
import { Settling } from './settling.js';

const LOOK_EVERY_MS = 500;

export interface SendOutcome {
  readonly exitCode: 0 | 2 | 3 | 4;
  readonly server: string;
  readonly unit: { readonly id: string; readonly name: string };
  readonly set: { readonly id: string; readonly name: string };
  readonly files: FolderSender['files'];
  readonly analysis: { readonly id: string; readonly state: AnalysisView['state'] } | null;
  readonly quality: AnalysisView['quality'];
  readonly problems: readonly Problem[];
}

export interface SendSurroundings {
  readonly client: Client;
  readonly token: string;
  readonly env: NodeJS.ProcessEnv;
  readonly say: (line: string) => void;
  /** Ends it: what was begun goes on at the next start. */
  readonly signal: AbortSignal;
  /** Watching: analyse now, without waiting for quiet. */
  readonly sendNow: () => boolean;
  /** Watching: one more set of findings. */
  readonly told: (outcome: SendOutcome) => void;
}

/** @throws SendStopped when it can't go on */
export async function sendFolder(request: SendRequest, around: SendSurroundings): Promise<SendOutcome> {
  const { client, say, signal } = around;
  const patience: Patience = { patienceMs: request.watch ? undefined : request.patienceMs, say, signal };
  const { person } = await persist(() => client.session(), patience);
  const unit = await persist(() => client.unit(request.unitId), patience);
  const kept = await openJournal(journalFolder(around.env), {
    server: request.serverUrl,
    unit: request.unitId,
    set: request.setName,
    from: request.folder,
  });
  try {
    const set = new SetAtServer(client, request, kept, patience);
    const { name } = await set.find();
    say(`Sending ${request.folder} to “${name}” of ${unit.name}, as ${person?.name ?? 'somebody'}.`);
    const run = new Run(request, around, patience, { id: unit.id, name: unit.name }, set, kept);
    return await (request.watch ? run.watch() : run.once());
  } finally {
    await kept.close();
  }
}

class Run {
  readonly #sender: FolderSender;

  constructor(
    private readonly request: SendRequest,
    private readonly around: SendSurroundings,
    patience: Patience,
    private readonly unit: SendOutcome['unit'],
    private readonly set: SetAtServer,
    kept: KeptJournal,
  ) {
    const { folder, again, serverUrl } = request;
    this.#sender = new FolderSender({
      folder,
      again,
      set,
      kept,
      patience,
      settling: new Settling(request.settleMs),
      doors: { serverUrl, token: around.token },
      say: around.say,
    });
  }

  async once(): Promise<SendOutcome> {
    const givesUpAt = Date.now() + this.request.patienceMs;
    for (;;) {
      const { waiting } = await this.#sender.pass();
      if (waiting.length === 0) return this.#conclude([]);
      if (Date.now() >= givesUpAt || this.around.signal.aborted) return this.#conclude(waiting);
      await this.#pause();
    }
  }

  /** Until it is ended; then what the last findings were. */
  async watch(): Promise<SendOutcome> {
    const { signal, say, sendNow, told } = this.around;
    let outcome: SendOutcome | undefined;
    let newSince: number | undefined;
    say('Watching. Enter analyses what has arrived at once; Ctrl-C ends it.');
    while (!signal.aborted) {
      const { waiting, arrived } = await this.#sender.pass();
      if (arrived > 0) newSince = Date.now();
      const first = outcome === undefined && waiting.length === 0 && this.#sender.files.length > 0;
      const quiet =
        newSince === undefined
          ? first
          : waiting.length === 0 && Date.now() - newSince >= this.request.quietMs;
      if (sendNow() || quiet) {
        newSince = undefined;
        outcome = await this.#conclude([]);
        told(outcome);
      }
      await this.#pause();
    }
    return outcome ?? this.#outcome(null, []);
  }

  async #conclude(waiting: readonly string[]): Promise<SendOutcome> {
    const { say } = this.around;
    const { files } = this.#sender;
    const there = (await this.set.look()).files;
    const safe = files.filter(({ name, sha256 }) =>
      there.some((one) => one.name === name && one.sha256 === sha256),
    );
    say(`${safe.length} of ${files.length + waiting.length} files are at the server, byte for byte.`);
    if (there.length === 0 || waiting.length > 0) return this.#outcome(null, waiting);
    const analysis = await this.set.analyse();
    for (const line of sayFindings(analysis)) say(line);
    const aside = await this.set.setEarlierAside();
    if (aside !== undefined) say(`“${aside}” is set aside: kept, and no longer counted.`);
    return this.#outcome(analysis, waiting);
  }

  #outcome(analysis: AnalysisView | null, waiting: readonly string[]): SendOutcome {
    const unfinished = waiting.map((name) =>
      problem(
        name,
        undefined,
        'not-readable',
        'It is not whole: it is still written to, held, or empty.',
        'Send again when it is finished.',
      ),
    );
    const nothing =
      this.#sender.files.length + unfinished.length > 0
        ? []
        : [
            problem(
              this.request.folder,
              undefined,
              'empty-set',
              'There is no measurement file in it.',
              'Name the folder of the files themselves.',
            ),
          ];
    const problems = [...this.#sender.problems, ...unfinished, ...nothing];
    return {
      exitCode: problems.length > 0 ? 2 : analysis ? exitCodeOf(analysis) : 0,
      server: this.request.serverUrl,
      unit: this.unit,
      set: { id: this.set.set.id, name: this.set.set.name },
      files: this.#sender.files,
      analysis: analysis && { id: analysis.id, state: analysis.state },
      quality: analysis?.quality ?? [],
      problems: [...problems, ...(analysis?.problems ?? []).map((one) => one as Problem)],
    };
  }

  async #pause(): Promise<void> {
    await sleep(LOOK_EVERY_MS, undefined, { signal: this.around.signal }).catch(() => undefined);
  }
}
