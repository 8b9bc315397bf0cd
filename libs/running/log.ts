/**
 * One JSON line for each request and each job, and for each fault, when SOJOURN_LOG_LEVEL asks for it; otherwise faults
 * alone, as text. Routes are written as they stand in the code and never with what was asked: an address may hold the
 * token of a calendar or a preview. Nobody is named; ids are enough to find somebody in the history. What was refused
 * (a sign-in that failed, something not allowed, too many tries) is a warning.
 */
import { pino, type Logger } from 'pino';

export const logLevels = ['fatal', 'error', 'warn', 'info', 'debug', 'trace'] as const;
export type LogLevel = (typeof logLevels)[number];

export interface RequestLine {
  readonly requestId: string;
  readonly trace?: string | undefined;
  readonly method: string;
  readonly route: string | undefined;
  readonly status: number;
  readonly ms: number;
  readonly personId?: string | undefined;
  /** Of whom was refused, so that whoever runs this can act on it; of nobody else. */
  readonly address?: string | undefined;
}
export interface JobLine {
  readonly job: string;
  readonly jobId: string;
  readonly outcome: 'done' | 'failed';
  readonly ms: number;
}
export interface Log {
  request(line: RequestLine): void;
  job(line: JobLine): void;
  fault(error: Error, doing: string): void;
}

export class UnknownLogLevel extends Error {
  readonly code = 'unknown-log-level';
}

/** @returns undefined when no lines are wanted. @throws UnknownLogLevel */
export function logLevelOf(asked: string | undefined): LogLevel | undefined {
  if (asked === undefined || asked === '') return undefined;
  const level = logLevels.find((known) => known === asked);
  if (!level)
    throw new UnknownLogLevel(`SOJOURN_LOG_LEVEL is "${asked}"; it may be ${logLevels.join(', ')}.`);
  return level;
}

/** @param about what stands in every line: which process of which role */
export function openLog(level: LogLevel, about: Readonly<Record<string, unknown>>): Log {
  const logger: Logger = pino({
    level,
    base: about,
    timestamp: pino.stdTimeFunctions.isoTime,
    formatters: { level: (label) => ({ level: label }) },
  });
  return {
    request: (line) => logger[requestLevel(line.status)]({ ...line, ms: tenths(line.ms) }, 'request'),
    job: (line) =>
      logger[line.outcome === 'failed' ? 'warn' : 'info']({ ...line, ms: tenths(line.ms) }, 'job'),
    fault: (error, doing) => logger.error({ doing, err: error }, error.message),
  };
}

/** Not signed in (or wrongly), not allowed, too many tries. */
const REFUSED: readonly number[] = [401, 403, 429];
export const isRefused = (status: number): boolean => REFUSED.includes(status);
const requestLevel = (status: number): 'error' | 'warn' | 'info' => {
  if (status >= 500) return 'error';
  return isRefused(status) ? 'warn' : 'info';
};

const tenths = (ms: number): number => Math.round(ms * 10) / 10;
