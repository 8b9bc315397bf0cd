import { type ChildProcess, spawn, spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { delimiter, join } from 'node:path';
import { createInterface, type Interface } from 'node:readline';
import { fileURLToPath } from 'node:url';

export interface PeerAnswer {
  readonly milliseconds: number;
  readonly rssMb: number;
  /** Values of the result, to make sure that both sides did the same. */
  readonly check: readonly number[];
}

/** A Python process that keeps its data and does a job each time it is asked. */
export interface ScipyPeer {
  readonly version: string;
  readonly ask: (job: string) => Promise<PeerAnswer>;
  readonly stop: () => void;
}

/** The C library then keeps freed memory instead of giving it back and faulting its pages in again. */
export const KEEP_PAGES = {
  MALLOC_TOP_PAD_: String(2 ** 28),
  MALLOC_TRIM_THRESHOLD_: String(2 ** 30),
  MALLOC_MMAP_THRESHOLD_: String(2 ** 30),
  MALLOC_MMAP_MAX_: '0',
};

const ONE_THREAD = { OMP_NUM_THREADS: '1', OPENBLAS_NUM_THREADS: '1', MKL_NUM_THREADS: '1' };

/**
 * Starts the scipy side of a comparison.
 *
 * @param script file beside this one
 * @param settings given to the script as JSON
 * @returns undefined when no Python with scipy is found: SOJOURN_PYTHON, else every python3 on the PATH
 */
export async function scipyPeer(
  script: string,
  settings: object,
  environment: Readonly<Record<string, string>> = {},
): Promise<ScipyPeer | undefined> {
  const python = pythonWithScipy();
  if (python === undefined) return undefined;
  const child = spawn(python, [scriptPath(script), JSON.stringify(settings)], {
    env: { ...process.env, ...ONE_THREAD, ...environment },
    stdio: ['pipe', 'pipe', 'inherit'],
  });
  const lines = createInterface({ input: child.stdout });
  const hello = JSON.parse(await nextLine(child, lines)) as { version: string };
  return {
    version: hello.version,
    ask: async (job) => {
      child.stdin.write(`${job}\n`);
      return JSON.parse(await nextLine(child, lines)) as PeerAnswer;
    },
    stop: () => child.stdin.end(),
  };
}

function pythonWithScipy(): string | undefined {
  const stated = process.env.SOJOURN_PYTHON;
  const folders = (process.env.PATH ?? '').split(delimiter).filter((folder) => folder !== '');
  const found = folders.map((folder) => join(folder, 'python3')).filter((path) => existsSync(path));
  const candidates = stated === undefined ? found : [stated];
  return candidates.find((path) => spawnSync(path, ['-c', 'import scipy.fft']).status === 0);
}

/** The compiled benchmark lies under dist; Python files are not compiled. */
function scriptPath(script: string): string {
  const beside = fileURLToPath(new URL(script, import.meta.url));
  return existsSync(beside)
    ? beside
    : fileURLToPath(new URL(`../../../test/bench/${script}`, import.meta.url));
}

function nextLine(child: ChildProcess, lines: Interface): Promise<string> {
  return new Promise((resolve, reject) => {
    const ended = (): void => reject(new Error('The scipy side stopped; its message is above.'));
    child.once('exit', ended);
    lines.once('line', (line) => {
      child.off('exit', ended);
      resolve(line);
    });
  });
}
