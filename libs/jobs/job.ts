/** A job as it is asked for and as its handler gets it. */
import type { JobName, JobPayloads } from '../contracts/index.js';

export interface JobRequest {
  readonly job: JobName;
  readonly jobId: string;
  readonly payload: unknown;
  /** Its place among what waits, 1 first; without one it comes before all that have one. */
  readonly priority?: number | null;
}
export interface RunningJob<J extends JobName = JobName> {
  readonly name: J;
  readonly id: string;
  readonly payload: JobPayloads[J];
  /** How often it failed before this time. */
  readonly attemptsBefore: number;
  readonly lastAttempt: boolean;
  /** How often its worker ended in the middle of it. */
  readonly interrupted: number;
}
export type JobHandlers = { readonly [J in JobName]: (job: RunningJob<J>) => Promise<void> };
