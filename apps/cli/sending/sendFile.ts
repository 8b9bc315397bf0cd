/** One file on its way by the open tus protocol: from where the server stands, and cut off when nothing moves. */
import { createReadStream } from 'node:fs';
import { DetailedError, Upload } from 'tus-js-client';
import { Refused } from '../../../libs/contracts/client.js';
import type { KeptFile, Refusal } from '../../../libs/contracts/index.js';
import { Unreachable } from './patience.js';

/** After a sleep or a lost network a connection may look open for ever. */
const STILL_MS = 30_000;

export interface FileToSend {
  readonly path: string;
  readonly name: string;
  readonly sha256: string;
  readonly setId: string;
  /** Where an earlier try stopped. */
  readonly uploadUrl: string | undefined;
}
export interface SendDoors {
  readonly serverUrl: string;
  readonly token: string;
  /** An address to go on at, should this try not come to its end. */
  readonly begun: (uploadUrl: string) => void;
  readonly signal: AbortSignal;
}

/**
 * One try.
 * @throws Unreachable when the way broke; Refused when the server said no
 */
export function sendFile(file: FileToSend, doors: SendDoors): Promise<KeptFile> {
  return new Promise((resolve, reject) => {
    let watch: NodeJS.Timeout | undefined;
    const end = (settle: () => void) => {
      clearTimeout(watch);
      doors.signal.removeEventListener('abort', stop);
      settle();
    };
    const upload = new Upload(createReadStream(file.path), {
      endpoint: `${doors.serverUrl}/api/uploads`,
      ...(file.uploadUrl === undefined ? {} : { uploadUrl: file.uploadUrl }),
      headers: { authorization: `Bearer ${doors.token}` },
      metadata: { setId: file.setId, filename: file.name, sha256: file.sha256, replace: 'never' },
      // Pauses and patience are the caller’s.
      retryDelays: null,
      storeFingerprintForResuming: false,
      onUploadUrlAvailable: () => {
        if (upload.url !== null) doors.begun(upload.url);
      },
      onProgress: () => moved(),
      onSuccess: ({ lastResponse }) => end(() => resolve(keptOf(lastResponse.getBody()))),
      onError: (error) => end(() => reject(asFailure(error))),
    });
    const stop = () => {
      void upload.abort();
      end(() => reject(new Unreachable('stopped')));
    };
    const moved = () => {
      clearTimeout(watch);
      watch = setTimeout(() => {
        void upload.abort();
        end(() => reject(new Unreachable('nothing moved for half a minute')));
      }, STILL_MS);
    };
    doors.signal.addEventListener('abort', stop);
    moved();
    upload.start();
  });
}

const keptOf = (body: string): KeptFile => {
  const answer = body === '' ? {} : (JSON.parse(body) as Partial<KeptFile>);
  return { kept: answer.kept ?? [], problems: answer.problems ?? [] };
};

function asFailure(error: Error | DetailedError): Error {
  const response = error instanceof DetailedError ? error.originalResponse : null;
  if (!response) return new Unreachable(causeOf(error));
  const status = response.getStatus();
  // 409: another try is ahead of us; 423: one still holds the upload. Asking anew finds the right place.
  if ([0, 408, 423, 429].includes(status) || status >= 500) {
    const after = Number(response.getHeader('retry-after'));
    return new Unreachable(`it answered ${status}`, after > 0 ? after * 1000 : undefined);
  }
  const refusal = refusalOf(response.getBody());
  if (status === 409 && refusal === undefined) return new Unreachable('it is further than we were');
  return new Refused(status, refusal ?? { code: `http-${status}`, message: `It answered ${status}.` });
}

function refusalOf(body: string): Refusal | undefined {
  try {
    const value = JSON.parse(body) as Partial<Refusal>;
    return typeof value.code === 'string' && typeof value.message === 'string'
      ? (value as Refusal)
      : undefined;
  } catch {
    // Not ours to read: a proxy's page, or the protocol's plain words.
    return undefined;
  }
}

function causeOf(error: Error | DetailedError): string {
  const cause: NodeJS.ErrnoException | null = error instanceof DetailedError ? error.causingError : null;
  return cause?.code ?? cause?.message ?? 'no connection';
}
