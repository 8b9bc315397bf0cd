/** The access token, from the environment or from a file that nobody else can read. */
import { readFile, stat } from 'node:fs/promises';
import path from 'node:path';
import envPaths from 'env-paths';
import { TOKEN_MARK } from '../../../libs/contracts/tokens.js';
import { SendStopped } from './sendStopped.js';

const MADE = 'Make one on your own page (Access for programs) that may Measure.';

/** @throws SendStopped (2) when there is none, or when others on this computer could read it */
export async function readToken(tokenFile: string | undefined, env: NodeJS.ProcessEnv): Promise<string> {
  const given = env['SOJOURN_TOKEN']?.trim();
  if (given && tokenFile === undefined) return asToken('SOJOURN_TOKEN', given);
  const usual = path.join(envPaths('sojourn', { suffix: '' }).config, 'token');
  const file = tokenFile ?? usual;
  try {
    const { mode } = await stat(file);
    // Windows keeps rights elsewhere; there the person's own folder is closed to others by itself.
    if (process.platform !== 'win32' && (mode & 0o077) !== 0)
      throw new SendStopped(
        2,
        'token-readable',
        `${file}: others on this computer can read the access token.`,
        `Close it to them: chmod 600 ${file}`,
      );
    return asToken(file, (await readFile(file, 'utf8')).trim());
  } catch (error) {
    if (error instanceof SendStopped) throw error;
    if (tokenFile === undefined && (error as NodeJS.ErrnoException).code === 'ENOENT')
      throw new SendStopped(
        2,
        'token-missing',
        'There is no access token.',
        `${MADE} Put it into SOJOURN_TOKEN or into ${usual}.`,
      );
    throw new SendStopped(
      2,
      'token-missing',
      `${file}: The access token can't be read (${(error as NodeJS.ErrnoException).code}).`,
      'Check the path and its rights.',
    );
  }
}

function asToken(from: string, text: string): string {
  if (text.startsWith(TOKEN_MARK) && /^[\w-]{20,200}$/.test(text)) return text;
  throw new SendStopped(2, 'token-wrong', `${from}: This is no access token.`, MADE);
}

/** Words of warning when the token would travel in the open; undefined when it does not. */
export function inTheOpen(serverUrl: string): string | undefined {
  const { protocol, hostname } = new URL(serverUrl);
  if (protocol === 'https:' || /^(localhost|127\.|\[::1\])/.test(hostname)) return undefined;
  return `${serverUrl} is not encrypted: whoever can listen on the network can read the token and the files. Use https where you can.`;
}
