/** What `send` is asked for, or everything that is wrong with the asking. */
import path from 'node:path';
import { parseArgs } from 'node:util';
import { TOKEN_MARK } from '../../../libs/contracts/tokens.js';
import { problem, type Problem } from '../../../libs/measurement-files/problem.js';
import { folderAsMeant } from './fileNames.js';

export interface SendRequest {
  readonly folder: string;
  readonly unitId: string;
  readonly setName: string;
  readonly serverUrl: string;
  readonly tokenFile: string | undefined;
  readonly watch: boolean;
  readonly json: boolean;
  /** Also what was taken out of the set on the server. */
  readonly again: boolean;
  /** How long a file may not change before it counts as whole. */
  readonly settleMs: number;
  /** Watching: after so long without a new file the set is analysed. */
  readonly quietMs: number;
  /** How long a server that can't be reached is waited for; watching, for ever. */
  readonly patienceMs: number;
}

export const SEND_HELP = `Usage: npm run --silent send -- FOLDER --unit ID [options]

Sends the measurement files of a folder to a unit's set, asks for their analysis and says what has to be
measured again. What is there already is not sent twice; what was begun goes on where it stopped.

  --unit ID            the unit, as in the address of its page
  --set NAME           the set's name (the folder's own)
  --server URL         the server (SOJOURN_SERVER, else http://127.0.0.1:4700)
  --token-file FILE    a file that holds the access token and that only you can read (SOJOURN_TOKEN,
                       else the file "token" in this program's folder of settings)
  --watch              stay, and send each file as it becomes whole; Enter analyses at once
  --quiet SECONDS      watching: analyse when no file came for so long (20)
  --settle SECONDS     a file is whole when it did not change for so long (3)
  --patience SECONDS   give up on a server that can't be reached after so long (600; never, watching)
  --again              also send what was taken out of the set on the server
  --json               what happened as one JSON object at the end
  --help               print this

Exit code 0: all sent, nothing to measure again; 2: bad input; 3: something to measure again or to look at;
4: the server can't be reached or refused.`;

const OPTIONS = {
  unit: { type: 'string' },
  set: { type: 'string' },
  server: { type: 'string' },
  'token-file': { type: 'string' },
  token: { type: 'string' },
  watch: { type: 'boolean', default: false },
  quiet: { type: 'string', default: '20' },
  settle: { type: 'string', default: '3' },
  patience: { type: 'string', default: '600' },
  again: { type: 'boolean', default: false },
  json: { type: 'boolean', default: false },
  help: { type: 'boolean', default: false },
} as const;

const UUID = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i;
const DEFAULT_SERVER = 'http://127.0.0.1:4700';

export function parseSendArguments(
  argv: readonly string[],
  env: NodeJS.ProcessEnv,
): SendRequest | 'help' | readonly Problem[] {
  // Before anything is read of it: what stands on a command line, everybody on that computer can read.
  if (argv.some((one) => one.includes(TOKEN_MARK) || /^--token(=|$)/.test(one))) {
    const message = 'An access token on the command line can be read by everybody on this computer.';
    return [
      wrong(
        '--token',
        message,
        'Revoke it, make another, and put that into SOJOURN_TOKEN or a file (--token-file).',
      ),
    ];
  }
  try {
    const { values, positionals } = parseArgs({ args: [...argv], allowPositionals: true, options: OPTIONS });
    return values.help ? 'help' : asRequest(values, positionals, env);
  } catch (error) {
    return [wrong('the command line', `${(error as Error).message.split('\n')[0]}.`, 'See --help.')];
  }
}

type Values = ReturnType<typeof parseArgs<{ options: typeof OPTIONS }>>['values'];

function asRequest(
  values: Values,
  positionals: readonly string[],
  env: NodeJS.ProcessEnv,
): SendRequest | readonly Problem[] {
  const problems: Problem[] = [];
  const [typed] = positionals;
  if (typed === undefined || positionals.length > 1)
    problems.push(
      wrong('FOLDER', 'One folder is sent at a time.', 'Name it: npm run send -- FOLDER --unit ID'),
    );
  const unitId = values.unit ?? '';
  if (!UUID.test(unitId))
    problems.push(
      wrong('--unit', 'This is not the id of a unit.', 'Copy it from the address of the unit’s page.'),
    );
  const server = values.server ?? env['SOJOURN_SERVER'] ?? DEFAULT_SERVER;
  if (!URL.canParse(server) || !/^https?:$/.test(new URL(server).protocol))
    problems.push(wrong('--server', `“${server}” is not an address.`, `Give one such as ${DEFAULT_SERVER}.`));
  const seconds = (name: 'settle' | 'quiet' | 'patience') => {
    const value = Number(values[name]);
    if (!(value >= 0 && value <= 86_400))
      problems.push(
        wrong(`--${name}`, `“${values[name] ?? ''}” is no number of seconds.`, 'Give one from 0 to 86400.'),
      );
    return value * 1000;
  };
  const folder = path.resolve(folderAsMeant(typed ?? '', process.platform));
  const setName = (values.set ?? path.basename(folder)).trim();
  if (setName === '' || setName.length > 150)
    problems.push(wrong('--set', 'A set has a name of at most 150 letters.', 'Give one with --set.'));
  const request: SendRequest = {
    folder,
    unitId: unitId.toLowerCase(),
    setName,
    serverUrl: server.replace(/\/+$/, ''),
    tokenFile: values['token-file'],
    watch: values.watch ?? false,
    json: values.json ?? false,
    again: values.again ?? false,
    settleMs: seconds('settle'),
    quietMs: seconds('quiet'),
    patienceMs: seconds('patience'),
  };
  return problems.length > 0 ? problems : request;
}

const wrong = (what: string, message: string, remedy: string): Problem =>
  problem(what, undefined, 'argument', message, remedy);
