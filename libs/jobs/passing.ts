/** Failures that pass by themselves or when somebody makes room: the database is away, the disk is full, a worker stops. */

/** Of Node's sockets and files. */
const CODES = new Set([
  'ECONNREFUSED',
  'ECONNRESET',
  'EPIPE',
  'ETIMEDOUT',
  'ENOSPC',
  'EDQUOT',
  'EFBIG',
  // Prisma: cannot reach, timed out, closed, no connection in time, transaction not to be had.
  'P1001',
  'P1002',
  'P1008',
  'P1017',
  'P2024',
  'P2028',
]);
/** PostgreSQL (appendix A of its manual): 08 connection, 53 resources, 57P0x shut down or starting. */
const SQL_STATES = /^(08|53|57P0)/;
const SENTENCES =
  /connection terminated|timeout exceeded when trying to connect|server closed the connection|can't reach database|connection is not queryable|not queryable|Connection is closed|No space left on device/i;

/** Thrown by a handler whose worker stops: what is left of its job is another worker's, and costs none of its tries. */
export class LeftOff extends Error {}

/** @param error whatever was thrown, with its causes */
export function isPassing(error: unknown): boolean {
  if (error instanceof LeftOff) return true;
  for (let at = error, depth = 0; at instanceof Error && depth < 5; at = at.cause, depth++) {
    const { code, meta } = at as { code?: unknown; meta?: unknown };
    const codes = [code, ...JSON.stringify(meta ?? '').matchAll(/"(?:originalCode|code)":"(\w+)"/g)].flat();
    if (codes.some((each) => typeof each === 'string' && (CODES.has(each) || SQL_STATES.test(each))))
      return true;
    if (SENTENCES.test(at.message)) return true;
  }
  return false;
}
