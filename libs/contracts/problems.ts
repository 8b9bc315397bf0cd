/** How the server says no: one shape for every refusal, with a stable code. */
export interface Refusal {
  code: string;
  message: string;
  /** What to do about it, when there is something. */
  remedy?: string;
  /** Field by field, for a form. */
  fields?: { path: string; message: string }[];
  /** A write on an older version: what stands now, and what was sent. */
  conflict?: { current: unknown; sent: unknown };
  /** A refused move: the conditions, met and unmet. */
  conditions?: { code: string; sentence: string; met: boolean }[];
}
