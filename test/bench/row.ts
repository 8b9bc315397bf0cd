/** One comparison, its peer measured in the same run. What is told of it is the ratio of ours over the peer's. */
export interface BenchRow {
  readonly name: string;
  readonly ours: number;
  /** Null where it is a cost, which nothing is the peer of. */
  readonly peer: number | null;
  readonly unit: string;
  readonly higherIsBetter: boolean;
  readonly runs: number;
}

/** Where no other program is the peer: a time, in milliseconds, against the one it may take. */
export const againstLimit = (name: string, ours: number, mayTakeMs: number, runs: number): BenchRow => ({
  name: `${name} (peer: the time it may take)`,
  ours,
  peer: mayTakeMs,
  unit: 'ms',
  higherIsBetter: false,
  runs,
});

export const costRow = (name: string, ours: number, unit: string, runs: number): BenchRow => ({
  name,
  ours,
  peer: null,
  unit,
  higherIsBetter: false,
  runs,
});

/** A topic of the benchmark; it may leave out rows whose peer is not installed, saying so on stderr. */
export interface BenchModule {
  readonly topic: string;
  readonly run: () => readonly BenchRow[] | Promise<readonly BenchRow[]>;
}
