/** Pros, cons and suggestions as they are kept, and what of them is said in words. */
import {
  Point,
  Suggestion,
  type EvidenceRef,
  type Point as PointValue,
  type Suggestion as SuggestionValue,
} from '../contracts/index.js';

export interface KeptPoints {
  readonly pros: unknown;
  readonly cons: unknown;
  readonly suggestions: unknown;
}
export interface Points {
  readonly pros: PointValue[];
  readonly cons: PointValue[];
  readonly suggestions: SuggestionValue[];
}

/** Earlier versions kept a pro as its words alone, and a con without anything attached. */
export function pointsOf(kept: KeptPoints | null): Points {
  return {
    pros: list(kept?.pros).map(asPoint),
    cons: list(kept?.cons).map(asPoint),
    suggestions: list(kept?.suggestions).map((each) => Suggestion.parse(each)),
  };
}

export function asPoint(kept: unknown): PointValue {
  return typeof kept === 'string' ? { text: kept, evidence: '', refs: [] } : Point.parse(kept);
}

const list = (kept: unknown): unknown[] => (Array.isArray(kept) ? kept : []);

/** The words of a point's evidence and the sentences of what is attached, each once. */
export function evidenceSentences({ evidence, refs }: Pick<PointValue, 'evidence' | 'refs'>): string[] {
  const sentences = [evidence.trim(), ...refs.map(({ sentence }) => sentence)];
  return [...new Set(sentences.filter((sentence) => sentence !== ''))];
}

/** The same piece of evidence, though the analysis was done anew and its sentence reads a little differently. */
export function sameEvidence(a: EvidenceRef, b: EvidenceRef): boolean {
  if (a.kind !== b.kind || a.unitId !== b.unitId) return false;
  switch (a.kind) {
    case 'finding':
      return a.finding === b.finding && near(a.frequencyHz, b.frequencyHz);
    case 'figure':
      return a.figure === b.figure;
    case 'remark':
      return a.sessionId === b.sessionId && a.remarkId === b.remarkId;
  }
}

/** Within a sixth of an octave (common practice, no source): a feature found again, not its neighbour. */
function near(a: number | undefined, b: number | undefined): boolean {
  if (a === undefined || b === undefined) return a === b;
  return Math.abs(Math.log2(a / b)) <= 1 / 6;
}
