/**
 * Who may read the metrics: whoever shows the token from SOJOURN_METRICS_TOKEN; without one, only programs on this very
 * machine that ask directly. Behind a proxy every visitor comes from its machine: set a token there.
 */
import { createHash, timingSafeEqual } from 'node:crypto';
import type { IncomingHttpHeaders } from 'node:http';

export interface MetricsDoor {
  readonly token?: string | undefined;
  /** A proxy is configured: coming from this machine says nothing. */
  readonly behindProxy: boolean;
}

const forwarding = ['forwarded', 'x-forwarded-for', 'x-forwarded-host', 'x-real-ip', 'via'] as const;

/** @param fromLoopback whether the connection itself comes from this machine */
export function mayReadMetrics(
  door: MetricsDoor,
  headers: IncomingHttpHeaders,
  fromLoopback: boolean,
): boolean {
  if (door.token) return isSame(headers.authorization ?? '', `Bearer ${door.token}`);
  return fromLoopback && !door.behindProxy && forwarding.every((name) => headers[name] === undefined);
}

function isSame(given: string, wanted: string): boolean {
  const digest = (text: string) => createHash('sha256').update(text).digest();
  return timingSafeEqual(digest(given), digest(wanted));
}
