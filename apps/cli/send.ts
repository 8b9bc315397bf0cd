/** `npm run send -- FOLDER --unit ID`: the measuring computer's door. */
import { createInterface } from 'node:readline';
import { clientWithToken, Refused } from '../../libs/contracts/client.js';
import { formatProblem, printable } from '../../libs/measurement-files/problem.js';
import { inTheOpen, readToken } from './sending/readToken.js';
import { parseSendArguments, SEND_HELP, type SendRequest } from './sending/sendArguments.js';
import { sendFolder, type SendOutcome } from './sending/sendFolder.js';
import { SendStopped } from './sending/sendStopped.js';

const SCHEMA = 'sojourn.send/1';

/** @returns exit code: 0 all sent and nothing to do, 2 bad input, 3 to measure again, 4 unreachable or refused */
export async function main(argv: readonly string[]): Promise<number> {
  const request = parseSendArguments(argv, process.env);
  if (request === 'help') {
    process.stdout.write(`${SEND_HELP}\n`);
    return 0;
  }
  if (!('folder' in request)) {
    for (const one of request) process.stderr.write(`${formatProblem(one)}\n`);
    if (argv.includes('--json')) say1({ problems: request });
    return 2;
  }
  const stopping = new AbortController();
  const stop = () => stopping.abort();
  process.once('SIGINT', stop).once('SIGTERM', stop);
  // A request that waits for a new connection keeps no process alive, and neither does its time limit.
  const awake = setInterval(() => undefined, 1000);
  try {
    const outcome = await run(request, stopping.signal);
    for (const one of outcome.problems) process.stderr.write(`${formatProblem(one)}\n`);
    if (request.json) say1(outcome);
    return outcome.exitCode;
  } catch (error) {
    return stopped(error, request.json);
  } finally {
    clearInterval(awake);
    process.off('SIGINT', stop).off('SIGTERM', stop);
  }
}

async function run(request: SendRequest, signal: AbortSignal): Promise<SendOutcome> {
  const token = await readToken(request.tokenFile, process.env);
  // With --json the answer has standard output to itself.
  const say = (line: string): void =>
    void (request.json ? process.stderr : process.stdout).write(`${printable(line)}\n`);
  const warning = inTheOpen(request.serverUrl);
  if (warning !== undefined) say(warning);
  const enter = request.watch ? listenForEnter() : undefined;
  try {
    return await sendFolder(request, {
      client: clientWithToken(request.serverUrl, token),
      token,
      env: process.env,
      say,
      signal,
      sendNow: () => enter?.pressed() ?? false,
      told: (outcome) => request.json && say1(outcome),
    });
  } finally {
    enter?.close();
  }
}

function listenForEnter(): { pressed(): boolean; close(): void } {
  let pressed = false;
  const lines = createInterface({ input: process.stdin });
  lines.on('line', () => (pressed = true));
  return {
    pressed: () => {
      const was = pressed;
      pressed = false;
      return was;
    },
    close: () => lines.close(),
  };
}

function stopped(error: unknown, json: boolean): number {
  const known = error instanceof SendStopped || error instanceof Refused;
  if (!known) throw error;
  const { code, remedy } = error instanceof Refused ? error.refusal : error;
  const exitCode =
    error instanceof SendStopped ? error.exitCode : error.status === 404 || error.status === 422 ? 2 : 4;
  const problem = {
    file: 'send',
    code,
    message: error.message,
    remedy: remedy ?? 'Look at --unit and --set.',
  };
  process.stderr.write(`${printable(`${problem.message} ${problem.remedy}`)}\n`);
  if (json) say1({ exitCode, problems: [problem] });
  return exitCode;
}

const say1 = (value: object): void =>
  void process.stdout.write(`${JSON.stringify({ schema: SCHEMA, ...value })}\n`);
