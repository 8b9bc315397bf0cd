/** Sends one signed POST to an address somebody chose, and to no other. */
import { createHmac } from 'node:crypto';
import { request as httpRequest } from 'node:http';
import { request as httpsRequest } from 'node:https';
import type { lookup } from 'node:dns';
import { guardedLookup, insistOnReachable } from './publicAddress.js';

const PATIENCE_MS = 10_000;

export class WebhookFailed extends Error {
  readonly code = 'webhook-failed';
  constructor(
    message: string,
    /** What the other side answered, where it did. */
    readonly status?: number,
    options?: ErrorOptions,
  ) {
    super(message, options);
  }
}

export interface WebhookMessage {
  readonly deliveryId: string;
  readonly url: string;
  readonly secret: string;
  readonly body: string;
  readonly at: Date;
}

/** sha256=HEX over `TIMESTAMP.BODY` (HMAC, RFC 2104). */
export function signatureOf(secret: string, timestamp: string, body: string): string {
  return `sha256=${createHmac('sha256', secret).update(`${timestamp}.${body}`).digest('hex')}`;
}

/**
 * @returns the status it was taken with
 * @throws AddressRefused for an address that is not public; WebhookFailed when the other side does not take it
 */
export async function sendWebhook(
  message: WebhookMessage,
  trusted: readonly string[],
  ask?: typeof lookup,
): Promise<number> {
  const url = new URL(message.url);
  insistOnReachable(url, trusted);
  const timestamp = String(Math.floor(message.at.getTime() / 1000));
  const status = await post(url, message.body, guardedLookup(trusted, ask), {
    'content-type': 'application/json',
    'user-agent': 'Sojourn',
    'sojourn-delivery': message.deliveryId,
    'sojourn-timestamp': timestamp,
    'sojourn-signature': signatureOf(message.secret, timestamp, message.body),
  });
  if (status >= 200 && status < 300) return status;
  // A redirect could lead into the house's own network; whoever moved says so in the settings.
  const why =
    status >= 300 && status < 400 ? 'It answered with a redirect, which is not followed' : 'It answered';
  throw new WebhookFailed(`${why} (${status}).`, status);
}

function post(
  url: URL,
  body: string,
  lookup: ReturnType<typeof guardedLookup>,
  headers: Readonly<Record<string, string>>,
): Promise<number> {
  return new Promise((resolve, reject) => {
    const request = (url.protocol === 'https:' ? httpsRequest : httpRequest)(
      url,
      {
        method: 'POST',
        lookup,
        agent: false,
        headers: { ...headers, 'content-length': String(Buffer.byteLength(body)) },
        signal: AbortSignal.timeout(PATIENCE_MS),
      },
      (response) => {
        // What it says beyond the status is of no interest, however long it is.
        response.destroy();
        resolve(response.statusCode ?? 0);
      },
    );
    request.on('error', (error) => reject(asFailure(error)));
    request.end(body);
  });
}

/** What the network says, for somebody who does not run it. */
const networkWords: Readonly<Record<string, string>> = {
  ENOTFOUND: 'No machine of that name is known.',
  EAI_AGAIN: 'The name could not be looked up just now.',
  ECONNREFUSED: 'Nothing takes messages at that address.',
  ECONNRESET: 'The connection broke.',
  EHOSTUNREACH: 'There is no way to that machine.',
  ENETUNREACH: 'There is no way to that machine.',
  ETIMEDOUT: 'It did not answer in time.',
  CERT_HAS_EXPIRED: 'Its certificate has run out.',
  DEPTH_ZERO_SELF_SIGNED_CERT: 'Its certificate is signed by nobody known.',
  ERR_TLS_CERT_ALTNAME_INVALID: 'Its certificate is for another name.',
};

function asFailure(error: Error): Error {
  const { code } = error as { code?: string };
  if (code === 'address-refused') return error;
  const late = error.name === 'TimeoutError' || error.name === 'AbortError';
  const said = late ? `It did not answer within ${PATIENCE_MS / 1000} s.` : networkWords[code ?? ''];
  return new WebhookFailed(said ?? error.message, undefined, { cause: error });
}
