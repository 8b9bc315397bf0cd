import type { BellFinding } from './bellFinding.js';
import { sayHz } from './words/sayHz.js';

/** So many evenly spaced ones are a comb and not a chance; common practice, no source. */
const LEAST_TEETH = 4;
const SPACING_TOLERANCE = 0.25;
const LARGEST_OVER_SMALLEST = 3;

/**
 * Joins rows of dips (or peaks) at even distances in Hz, as one reflection makes, into one finding: the
 * largest of them, with the whole row's range. The peaks between the dips go with them.
 *
 * Only what an equaliser cannot correct is joined. `findings` and the result rise in frequency.
 */
export function joinCombs(findings: readonly BellFinding[]): readonly BellFinding[] {
  let rest = findings;
  const joined: BellFinding[] = [];
  for (;;) {
    const comb = longestComb(rest);
    if (!comb) return [...rest, ...joined].sort((a, b) => a.centreHz - b.centreHz);
    const { fromHz } = comb[0];
    const { toHz } = comb[comb.length - 1];
    const most = Math.max(...comb.map(({ levelDb }) => Math.abs(levelDb)));
    rest = rest.filter(
      (one) =>
        !comb.includes(one) &&
        (!isTooth(one) || one.centreHz < fromHz || one.centreHz > toHz || Math.abs(one.levelDb) > most),
    );
    joined.push(asOne(comb, fromHz, toHz));
  }
}

function isTooth({ kind, correctable }: BellFinding): boolean {
  return !correctable && (kind === 'peak' || kind === 'dip');
}

function longestComb(findings: readonly BellFinding[]): readonly BellFinding[] | undefined {
  let longest: readonly BellFinding[] = [];
  for (const kind of ['dip', 'peak'] as const) {
    const teeth = findings.filter((one) => isTooth(one) && one.kind === kind);
    for (let first = 0; first + 1 < teeth.length; first++) {
      const comb = combFrom(teeth, first);
      if (comb.length > longest.length) longest = comb;
    }
  }
  return longest.length >= LEAST_TEETH ? longest : undefined;
}

function combFrom(teeth: readonly BellFinding[], first: number): readonly BellFinding[] {
  const spacingHz = teeth[first + 1].centreHz - teeth[first].centreHz;
  const comb = [teeth[first]];
  for (const tooth of teeth.slice(first + 1)) {
    const step = tooth.centreHz - comb[comb.length - 1].centreHz;
    const sizes = [...comb, tooth].map(({ levelDb }) => Math.abs(levelDb));
    const even = Math.abs(step / spacingHz - 1) <= SPACING_TOLERANCE;
    if (!even || Math.max(...sizes) > LARGEST_OVER_SMALLEST * Math.min(...sizes)) break;
    comb.push(tooth);
  }
  return comb;
}

function asOne(comb: readonly BellFinding[], fromHz: number, toHz: number): BellFinding {
  const largest = comb.reduce((a, b) => (Math.abs(b.levelDb) > Math.abs(a.levelDb) ? b : a));
  const spacingHz = (comb[comb.length - 1].centreHz - comb[0].centreHz) / (comb.length - 1);
  const why =
    `The largest of ${comb.length} ${largest.kind}s about ${sayHz(spacingHz)} apart from ${sayHz(comb[0].centreHz)} to ` +
    `${sayHz(comb[comb.length - 1].centreHz)}: even spacing is the mark of one reflection, which an equaliser cannot correct.`;
  return { ...largest, fromHz, toHz, why };
}
