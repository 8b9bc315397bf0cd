/**
 * How much may be tried. Only counts, never a clock: equal input gives an equal plan on every machine.
 *
 * The unit is one schedule in the sense of Hartmann and Kolisch: every task is given one start. Searches that only look
 * at part of a schedule count the starts they look at.
 */
export class Effort {
  private starts = 0;

  /** @param limit schedules that may be generated */
  constructor(readonly limit: number) {}

  /** Whole schedules tried so far, the last one begun included. */
  get tried(): number {
    return Math.ceil(this.starts);
  }

  get exhausted(): boolean {
    return this.starts >= this.limit;
  }

  get left(): number {
    return Math.max(0, this.limit - this.starts);
  }

  /** Count one generated schedule: one start for each task, in whatever direction. */
  spend(): void {
    this.starts += 1;
  }

  /** Count starts that were given or looked at in a problem of `tasks` tasks. */
  spendStarts(starts: number, tasks: number): void {
    this.starts += starts / Math.max(1, tasks);
  }
}
