/** Synthetic reviews with planted truth: which remark belongs to which finding, and which has none. */
import { descriptors } from '../descriptors.js';
import type { HeardRemark, MeasuredFinding } from '../types.js';

export interface PlantedReview {
  readonly findings: readonly MeasuredFinding[];
  readonly remarks: readonly HeardRemark[];
  /** `remarkId findingIndex` of every true pair. */
  readonly truth: ReadonlySet<string>;
}

/** Mulberry32, so that a seed gives the same review everywhere. */
function random(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 2 ** 32;
  };
}

const log2 = (hz: number): number => Math.log2(hz);

/**
 * Findings at least 0.6 octaves apart, most of them heard, in one of the ways people write; some measured only; and
 * remarks on places where nothing that agrees is measured within two thirds of one.
 */
export function plantedReview(seed: number): PlantedReview {
  const next = random(seed);
  const findings = plantFindings(next);
  const remarks: HeardRemark[] = [];
  const truth = new Set<string>();
  findings.forEach((finding, index) => {
    if (next() < 0.3) return;
    const id = `r${remarks.length + 1}`;
    remarks.push(remarkOn(id, finding, next));
    truth.add(`${id} ${index}`);
    if (next() < 0.2) {
      const second = `r${remarks.length + 1}`;
      remarks.push(remarkOn(second, finding, next));
      truth.add(`${second} ${index}`);
    }
  });
  for (let tries = 0; tries < 12; tries++) {
    const stray = strayRemark(`r${remarks.length + 1}`, findings, next);
    if (stray && next() < 0.35) remarks.push(stray);
  }
  return { findings, remarks, truth };
}

function plantFindings(next: () => number): MeasuredFinding[] {
  const findings: MeasuredFinding[] = [];
  const wanted = 3 + Math.floor(next() * 4);
  for (let tries = 0; findings.length < wanted && tries < 200; tries++) {
    const centreHz = 2 ** (log2(60) + next() * log2(14_000 / 60));
    if (findings.some((other) => Math.abs(log2(other.centreHz / centreHz)) < 0.6)) continue;
    const broad = next() < 0.25;
    const width = broad ? 1 + next() : 0.15 + next() * 0.5;
    const rises = next() < 0.6;
    const size = 1.5 + next() * 4.5;
    findings.push({
      kind: broad ? (rises ? 'broad-excess' : 'broad-deficit') : rises ? 'peak' : 'dip',
      fromHz: centreHz * 2 ** (-width / 2),
      toHz: centreHz * 2 ** (width / 2),
      centreHz,
      levelDb: rises ? size : -size,
      correctable: next() < 0.5,
    });
  }
  return findings;
}

const isExcess = (finding: MeasuredFinding): boolean => (finding.levelDb ?? 0) > 0;

function remarkOn(id: string, finding: MeasuredFinding, next: () => number): HeardRemark {
  const sign = isExcess(finding) ? ('excess' as const) : ('lack' as const);
  const severity = 1 + Math.floor(next() * 5);
  const fitting = descriptors.filter(
    (word) =>
      finding.centreHz > word.fromHz * 1.1 &&
      finding.centreHz < word.toHz / 1.1 &&
      word.means === sign &&
      word.toHz / word.fromHz < 8,
  );
  const word = fitting[Math.floor(next() * fitting.length)];
  const way = next();
  if (word && way < 0.35) return { id, text: '', sign, severity, descriptor: word.name };
  if (word && way < 0.6) return { id, text: `A touch ${word.says[0]?.trim()} on voices`, sign, severity };
  // People place a frequency to about a third of an octave.
  const heardHz = finding.centreHz * 2 ** ((next() - 0.5) * 0.5);
  if (way < 0.8) {
    const said = heardHz >= 1000 ? `${(heardHz / 1000).toFixed(1)} kHz` : `${heardHz.toFixed(0)} Hz`;
    return { id, text: `something around ${said}`, sign, severity };
  }
  const half = 2 ** (0.2 + next() * 0.4);
  return { id, text: 'here', sign, severity, fromHz: heardHz / half, toHz: heardHz * half };
}

/** A remark with nothing to explain it: no finding of its sign within two thirds of an octave of what it points to. */
function strayRemark(
  id: string,
  findings: readonly MeasuredFinding[],
  next: () => number,
): HeardRemark | undefined {
  const sign = next() < 0.5 ? ('excess' as const) : ('lack' as const);
  const centreHz = 2 ** (log2(50) + next() * log2(14_000 / 50));
  const near = findings.some(
    (finding) =>
      isExcess(finding) === (sign === 'excess') &&
      centreHz > finding.fromHz / 1.6 &&
      centreHz < finding.toHz * 1.6,
  );
  if (near) return undefined;
  const half = 2 ** 0.3;
  return {
    id,
    text: 'also this',
    sign,
    severity: 1 + Math.floor(next() * 5),
    fromHz: centreHz / half,
    toHz: centreHz * half,
  };
}
