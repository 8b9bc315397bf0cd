/** One process with limits: memory, time, files it may read, and no environment to take secrets from. */
import { spawn, type ChildProcess } from 'node:child_process';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import type { ReadingReply, ReadingRequest } from './readingTasks.js';

export interface ProcessLimits {
  /** Of JavaScript objects. */
  readonly heapMB: number;
  /** Of everything it writes to, arrays of numbers included; where the system can limit it. */
  readonly memoryMB: number;
  readonly patienceMs: number;
  /** Folders it may read besides the program's own files. */
  readonly folders: readonly string[];
}

/** It died of its input, or took too long over it. */
export class ReadingStopped extends Error {
  /** The file it was at, if it had begun one. */
  readonly file: string | undefined;
  override readonly cause: 'died' | 'too-long';
  constructor(cause: 'died' | 'too-long', file: string | undefined, detail: string) {
    super(detail);
    this.cause = cause;
    this.file = file;
  }
}

const SCRIPT = fileURLToPath(new URL('readingChild.js', import.meta.url));
/** The build lies in a folder of the project: libraries are beside it. */
const PROJECT = path.resolve(import.meta.dirname, '..', '..', '..');
const LAST_WORDS = 2000;

export class LimitedProcess {
  readonly #child: ChildProcess;
  readonly #patienceMs: number;
  #lastWords = '';
  #alive = true;

  constructor(limits: ProcessLimits) {
    this.#patienceMs = limits.patienceMs;
    const [command = '', ...args] = commandLine(limits);
    this.#child = spawn(command, args, {
      cwd: PROJECT,
      env: {},
      stdio: ['ignore', 'ignore', 'pipe', 'ipc'],
      serialization: 'advanced',
    });
    this.#child.stderr?.on('data', (chunk: Buffer) => {
      this.#lastWords = (this.#lastWords + chunk.toString('utf8')).slice(-LAST_WORDS);
    });
    this.#child.on('error', () => (this.#alive = false));
    this.#child.on('exit', () => (this.#alive = false));
    // It alone keeps nobody from ending.
    this.#child.unref();
    this.#child.channel?.unref();
  }

  get alive(): boolean {
    return this.#alive;
  }
  get pid(): number | undefined {
    return this.#child.pid;
  }

  /** One at a time. @throws ReadingStopped; Error for a fault of the reader itself */
  run(request: ReadingRequest): Promise<unknown> {
    const child = this.#child;
    return new Promise((resolve, reject) => {
      let file: string | undefined;
      const end = (settle: () => void): void => {
        clearTimeout(timer);
        child.off('message', hear);
        child.off('exit', gone);
        child.off('error', gone);
        child.channel?.unref();
        settle();
      };
      const stopped = (cause: 'died' | 'too-long') =>
        end(() => reject(new ReadingStopped(cause, file, this.#lastWords)));
      const gone = () => {
        this.#alive = false;
        stopped('died');
      };
      const hear = (reply: ReadingReply): void => {
        if (reply.kind === 'at') file = reply.file;
        else if (reply.kind === 'answer') end(() => resolve(reply.answer));
        else end(() => reject(new Error(reply.message)));
      };
      const timer = setTimeout(() => {
        this.kill();
        stopped('too-long');
      }, this.#patienceMs);
      child.on('message', hear);
      child.on('exit', gone);
      child.on('error', gone);
      child.channel?.ref();
      child.send(request, (error) => error && gone());
    });
  }

  kill(): void {
    this.#alive = false;
    this.#child.kill('SIGKILL');
  }
}

function commandLine({ heapMB, memoryMB, folders }: ProcessLimits): string[] {
  const node = [
    process.execPath,
    '--no-warnings',
    `--max-old-space-size=${heapMB}`,
    ...permissions(folders),
    SCRIPT,
  ];
  if (process.platform === 'win32') return node;
  // Writable memory rather than addresses: WebAssembly reserves far more of these than it uses.
  const limit = `ulimit -c 0; ulimit -d ${memoryMB * 1024} 2>/dev/null; exec "$@"`;
  return ['/bin/sh', '-c', limit, 'sh', ...node];
}

/** Node's own: no other files, no processes, no threads, no native code. Named differently before Node 22.13. */
function permissions(folders: readonly string[]): string[] {
  const flags = process.allowedNodeEnvironmentFlags;
  const flag = ['--permission', '--experimental-permission'].find((name) => flags.has(name));
  if (!flag) return [];
  const own = ['dist', 'node_modules', 'package.json'].map((name) => path.join(PROJECT, name));
  return [flag, ...[...own, ...folders].map((folder) => `--allow-fs-read=${folder}`)];
}
