/** Saying no: errors with a stable code, and the one filter that maps codes to HTTP. */
import { Catch, HttpException, type ArgumentsHost, type ExceptionFilter } from '@nestjs/common';
import type { FastifyReply, FastifyRequest } from 'fastify';
import { ZodError } from 'zod';
import type { Refusal } from '../../../libs/contracts/index.js';
import { StaleVersion } from '../../../libs/store/index.js';

export class Refused extends Error {
  readonly status: number;
  readonly refusal: Refusal;
  readonly retryAfterSeconds: number | undefined;
  constructor(status: number, refusal: Refusal, retryAfterSeconds?: number) {
    super(refusal.message);
    this.status = status;
    this.refusal = refusal;
    this.retryAfterSeconds = retryAfterSeconds;
  }
}

export const refuse = {
  notFound: (what: string) =>
    new Refused(404, { code: 'not-found', message: `That ${what} is not there (any more).` }),
  signIn: () => new Refused(401, { code: 'sign-in', message: 'Please sign in.' }),
  forbidden: (message = 'Your role does not allow this.') => new Refused(403, { code: 'forbidden', message }),
  sealed: (what = 'this unit') =>
    new Refused(403, {
      code: 'sealed-for-you',
      message: `You are listening to ${what} blind: its results are sealed until you seal your session.`,
      remedy: 'Seal your session first, or give up listening blind; that is recorded.',
    }),
  wrong: (code: string, message: string, remedy?: string) =>
    new Refused(422, { code, message, ...(remedy ? { remedy } : {}) }),
};

/** Codes of the libraries' own errors, and the status each becomes. */
const statusOf: Readonly<Record<string, number>> = {
  'not-found': 404,
  'set-empty': 422,
  'last-owner': 422,
  'needed-by-review': 422,
  'not-deletable': 422,
  'not-restorable': 409,
  'blob-missing': 404,
  'double-booking': 409,
  'move-impossible': 422,
  'pin-impossible': 422,
  'calendar-refused': 422,
  'address-refused': 422,
};

@Catch()
export class RefusalFilter implements ExceptionFilter {
  constructor(private readonly report: (error: Error, doing: string) => void) {}

  catch(error: unknown, host: ArgumentsHost): void {
    const reply = host.switchToHttp().getResponse<FastifyReply>();
    const request = host.switchToHttp().getRequest<FastifyRequest>();
    if (reply.sent || reply.raw.headersSent) return;
    const { status, refusal, retryAfterSeconds } = this.#read(error, request);
    if (retryAfterSeconds !== undefined) void reply.header('retry-after', String(retryAfterSeconds));
    void reply.status(status).header('cache-control', 'no-store').send(refusal);
  }

  #read(
    error: unknown,
    request: FastifyRequest,
  ): { status: number; refusal: Refusal; retryAfterSeconds?: number } {
    if (error instanceof Refused) {
      return {
        status: error.status,
        refusal: error.refusal,
        ...(error.retryAfterSeconds === undefined ? {} : { retryAfterSeconds: error.retryAfterSeconds }),
      };
    }
    if (error instanceof StaleVersion) return { status: 409, refusal: staleRefusal(error, request) };
    if (error instanceof ZodError) return { status: 422, refusal: fieldRefusal(error) };
    const code = (error as { code?: unknown }).code;
    const known = typeof code === 'string' ? statusOf[code] : undefined;
    if (known !== undefined)
      return { status: known, refusal: { code: String(code), message: (error as Error).message } };
    if (isDiskFull(error)) {
      this.report(error as Error, 'disk');
      return { status: 507, refusal: diskFull };
    }
    const status =
      error instanceof HttpException
        ? error.getStatus()
        : ((error as { statusCode?: number }).statusCode ?? 500);
    if (status < 500) return { status, refusal: plainRefusal(status) };
    this.report(error as Error, `${request.method} ${request.routeOptions.url ?? ''}`);
    return {
      status: 500,
      refusal: {
        code: 'fault',
        message: 'Something went wrong on the server. Nothing was changed.',
        remedy: 'Try again; if it stays, the server’s log has the details.',
      },
    };
  }
}

/** Room is short on the server (RFC 4918 names the status). */
export const diskFull: Refusal = {
  code: 'disk-full',
  message: 'The server’s disk is full. Nothing was kept of this.',
  remedy: 'Make room on the server, then send it again.',
};

export function isDiskFull(error: unknown): boolean {
  for (let at = error, depth = 0; at instanceof Error && depth < 5; at = at.cause, depth++) {
    const { code } = at as { code?: unknown };
    if (code === 'ENOSPC' || code === 'EDQUOT' || code === 'EFBIG' || code === '53100') return true;
    if (/No space left on device/i.test(at.message)) return true;
  }
  return false;
}

function staleRefusal(error: StaleVersion, request: FastifyRequest): Refusal {
  return {
    code: 'stale-version',
    message: 'Somebody changed this in the meantime; your change was not applied.',
    remedy: 'Look at both versions and send what should stand.',
    conflict: { current: error.current, sent: request.body ?? null },
  };
}

function fieldRefusal(error: ZodError): Refusal {
  const fields = error.issues.map((issue) => ({ path: issue.path.join('.'), message: issue.message }));
  return {
    code: 'invalid',
    message:
      fields.map(({ path, message }) => (path ? `${path}: ${message}` : message)).join(' ') || 'Not valid.',
    fields,
  };
}

const plainWords: Readonly<Record<number, string>> = {
  400: 'The request could not be understood.',
  404: 'There is nothing at this address.',
  405: 'That cannot be done here.',
  413: 'That is larger than allowed.',
  415: 'That kind of content is not taken here; send JSON.',
  429: 'Too many tries; wait a little.',
};

function plainRefusal(status: number): Refusal {
  return { code: `http-${status}`, message: plainWords[status] ?? 'The request was refused.' };
}
