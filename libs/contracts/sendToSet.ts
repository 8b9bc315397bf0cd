/** One file into a set in one request, and when an analysis has come to its end: for programs with an access token. */
import { Refused } from './client.js';
import type { AnalysisView, KeptFile } from './measurements.js';
import type { Refusal } from './problems.js';

/**
 * Puts a file (or a ZIP of files) into a set; the very same file again changes nothing. Files that may take long are
 * better sent resumably, as `npm run send` does.
 *
 * @param name as it is called in the set; it may say orbit and angle
 * @throws Refused with the server's code and words
 */
export async function sendToSet(
  { server, token }: { readonly server: string; readonly token: string },
  setId: string,
  name: string,
  content: string | Uint8Array<ArrayBuffer>,
): Promise<KeptFile> {
  const place = `${server.replace(/\/+$/, '')}/api/sets/${setId}/files?name=${encodeURIComponent(name)}`;
  const answer = await fetch(place, {
    method: 'PUT',
    headers: { authorization: `Bearer ${token}`, 'content-type': 'application/octet-stream' },
    body: content,
  });
  const value: unknown = await answer.json();
  if (!answer.ok) throw new Refused(answer.status, value as Refusal);
  return value as KeptFile;
}

/** Nothing more comes of it: it is done, its files could not be read, or it was set aside. */
export const isEnded = ({ state }: Pick<AnalysisView, 'state'>): boolean =>
  state === 'done' || state === 'refused' || state === 'quarantined';
