/** The folder published bundles are also written to: chosen by whoever starts the server, never from a page. */
import { accessSync, constants, statSync } from 'node:fs';
import path from 'node:path';

export class PublishFolderRefused extends Error {
  readonly code = 'setting-refused';
}
const OPTION = '--publish-folder=';

/** `--publish-folder=PATH` or SOJOURN_PUBLISH_FOLDER; undefined when neither is given. */
export function publishFolderOf(
  args: readonly string[],
  env: Readonly<Record<string, string | undefined>>,
): string | undefined {
  const option = args.find((arg) => arg.startsWith(OPTION))?.slice(OPTION.length);
  const folder = option ?? env['SOJOURN_PUBLISH_FOLDER'];
  if (folder === undefined || folder === '') return undefined;
  if (!path.isAbsolute(folder)) {
    throw new PublishFolderRefused(`The folder to publish to must be an absolute path, not "${folder}".`);
  }
  try {
    if (!statSync(folder).isDirectory()) throw new Error('it is not a folder');
    accessSync(folder, constants.W_OK);
  } catch (cause) {
    const why = (cause as Error).message;
    throw new PublishFolderRefused(
      `The folder to publish to, ${folder}, cannot be used: ${why}. Make it, and let the server write to it.`,
      { cause },
    );
  }
  return folder;
}
