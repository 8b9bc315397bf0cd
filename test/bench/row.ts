/** One comparison, its peer measured in the same run. */
export interface BenchRow {
  readonly name: string;
  readonly ours: number;
  readonly peer: number;
  readonly unit: string;
  /** ours over peer. */
  readonly ratio: number;
  readonly higherIsBetter: boolean;
  readonly runs: number;
}

/** A topic of the benchmark; it may leave out rows whose peer is not installed, saying so on stderr. */
export interface BenchModule {
  readonly topic: string;
  readonly run: () => readonly BenchRow[] | Promise<readonly BenchRow[]>;
}
