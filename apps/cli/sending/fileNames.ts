/**
 * Names of files and folders as measuring computers write them, Windows first of all: pure, so that its habits are
 * tested wherever the tests run.
 */
import { isIgnoredFile } from '../../../libs/measurement-files/fileName.js';

/** What programs write while a file is not finished, and what editors leave beside one. */
const TEMPORARY =
  /^~|~$|\.(tmp|temp|part|partial|filepart|crdownload|download|lock|lck|swp|swx|bak|old|writing|new)$/i;

/** @param name relative, with forward slashes */
export function isTemporary(name: string): boolean {
  return isIgnoredFile(name) || TEMPORARY.test(name.slice(name.lastIndexOf('/') + 1));
}

/** The name a file has in its set, the same from every system: forward slashes, composed letters. */
export const nameInSet = (relative: string, separator: string): string =>
  relative.split(separator).join('/').normalize('NFC');

/**
 * A folder as somebody typed it. In `"C:\rig\heron\"` a Windows shell takes the last backslash and quotation mark
 * for a quotation mark inside the name, and hands it over.
 */
export function folderAsMeant(typed: string, platform: NodeJS.Platform): string {
  return platform === 'win32' ? typed.replace(/"+$/, '') : typed;
}

/** Names that are devices on Windows, with any ending: a file of such a name from elsewhere can't be opened there. */
const DEVICE = /^(con|prn|aux|nul|com[0-9¹²³]|lpt[0-9¹²³])(\.|$)/i;

/** What keeps a name from being written on Windows; undefined for a name that works everywhere. */
export function whyNotOnWindows(name: string): string | undefined {
  for (const part of name.split('/')) {
    if (DEVICE.test(part)) return `“${part}” is the name of a device on Windows`;
    if (/[. ]$/.test(part)) return `“${part}” ends with a dot or a space, which Windows drops`;
    const [character] = /[<>:"|?*\\]/.exec(part) ?? [];
    if (character !== undefined) return `“${part}” has a ${character} in it, which Windows does not allow`;
  }
  return undefined;
}

/** Two files whose names differ by upper and lower case alone are one file on Windows. */
export function sameNameInOtherCase(names: readonly string[]): [string, string][] {
  const seen = new Map<string, string>();
  const found: [string, string][] = [];
  for (const name of names) {
    const key = name.toLowerCase();
    const other = seen.get(key);
    if (other !== undefined) found.push([other, name]);
    else seen.set(key, name);
  }
  return found;
}

/** One folder under all its names: Windows does not tell upper from lower case, nor the two slashes apart. */
export function folderKey(absolute: string, platform: NodeJS.Platform): string {
  if (platform !== 'win32') return absolute;
  return absolute
    .replace(/^\\\\\?\\(UNC\\)?/i, (_all, unc: string | undefined) => (unc ? '\\\\' : ''))
    .replaceAll('/', '\\')
    .replace(/\\+$/, '')
    .toLowerCase();
}

/**
 * Whether a file can't be opened because another program has it. Windows says so with any of these; elsewhere EPERM
 * and EACCES are about rights, which do not come by waiting.
 */
export function isHeldElsewhere(code: string | undefined, platform: NodeJS.Platform): boolean {
  if (code === 'EBUSY' || code === 'ETXTBSY') return true;
  return platform === 'win32' && (code === 'EPERM' || code === 'EACCES' || code === 'UNKNOWN');
}
