/** One file on its way: resumable, and started again where it stopped after a lost connection or a reload. */
import { DetailedError, Upload, type HttpResponse } from 'tus-js-client';
import type { KeptFile, ProblemView, Refusal } from '../contracts.js';

export interface UploadTarget {
  readonly setId?: string;
  readonly reportId?: string;
  /** The loan whose delivery it proves. */
  readonly proofOf?: string;
}
export interface SendDoors {
  readonly progress: (sentBytes: number) => void;
  /** The connection is gone; it goes on by itself. */
  readonly waiting: (waits: boolean) => void;
}

/** Growing waits, and then one every half minute for an hour: a laptop may be carried to another room. */
const RETRY_MS = [0, 1000, 2000, 4000, 8000, 15_000, ...Array.from({ length: 120 }, () => 30_000)];

/**
 * A small file comes along with its announcement, in one request. A larger one is announced first: only then is there
 * an address to ask how much of it arrived before the connection broke.
 */
const ONE_REQUEST_BYTES = 256 * 1024;

/** Resolves with the problems of the file (none when all of it was kept). */
export async function sendFile(
  target: UploadTarget,
  name: string,
  file: File,
  doors: SendDoors,
): Promise<ProblemView[]> {
  return new Promise((resolve) => {
    const upload = new Upload(file, {
      endpoint: '/api/uploads',
      metadata: { ...target, filename: name },
      retryDelays: RETRY_MS,
      uploadDataDuringCreation: file.size <= ONE_REQUEST_BYTES,
      removeFingerprintOnSuccess: true,
      // The same file may go into two sets: where it goes is part of what it is.
      fingerprint: () =>
        Promise.resolve(
          [
            'sojourn',
            target.setId ?? target.reportId ?? target.proofOf,
            name,
            file.size,
            file.lastModified,
          ].join(' '),
        ),
      onProgress: (sent) => {
        doors.waiting(false);
        doors.progress(sent);
      },
      onShouldRetry: (error) => {
        const status = statusOf(error);
        const again = status === 0 || status === 409 || status === 423 || status === 429 || status >= 500;
        if (again) doors.waiting(true);
        return again;
      },
      onSuccess: (done) => resolve(problemsOf(done.lastResponse)),
      onError: (error) => resolve([refused(name, error)]),
    });
    void upload.findPreviousUploads().then((earlier) => {
      const last = earlier[0];
      if (last) upload.resumeFromPreviousUpload(last);
      upload.start();
    });
  });
}

function statusOf(error: Error | DetailedError): number {
  return error instanceof DetailedError ? (error.originalResponse?.getStatus() ?? 0) : 0;
}

function problemsOf(response: HttpResponse): ProblemView[] {
  const body = response.getBody();
  const kept = body ? (parsed(body) as Partial<KeptFile> | null) : null;
  return kept?.problems ?? [];
}

function refused(name: string, error: Error | DetailedError): ProblemView {
  const body = error instanceof DetailedError ? error.originalResponse?.getBody() : undefined;
  const refusal = body ? (parsed(body) as Partial<Refusal> | null) : null;
  if (refusal?.message) {
    return {
      file: name,
      code: refusal.code ?? 'refused',
      message: refusal.message,
      remedy: refusal.remedy ?? '',
    };
  }
  return {
    file: name,
    code: 'not-sent',
    message: 'It could not be sent.',
    remedy: 'Check the network and send it again; what already arrived is not sent twice.',
  };
}

function parsed(body: string): unknown {
  try {
    return JSON.parse(body);
  } catch {
    // Not ours to read: a proxy's page, or plain words.
    return null;
  }
}
