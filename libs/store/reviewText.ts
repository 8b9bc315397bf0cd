/** The words of a review, for whoever publishes them: the one place that knows how they are written. */
import type { ReviewPoint, ReviewText } from '../contracts/index.js';
import type { Tx } from './database.js';

export async function readReviewText(tx: Tx, loanId: string): Promise<ReviewText> {
  const verdict = await tx.verdict.findUnique({ where: { loanId } });
  return {
    markdown: verdict?.text ?? '',
    pros: pointsOf(verdict?.pros),
    cons: pointsOf(verdict?.cons),
    suggestions: [],
    version: verdict?.version ?? 0,
  };
}

/** Kept as plain words, or with what they rest on. */
function pointsOf(kept: unknown): ReviewPoint[] {
  if (!Array.isArray(kept)) return [];
  return kept.map((point: string | { text?: string; evidence?: string }) =>
    typeof point === 'string'
      ? { text: point, evidence: '' }
      : { text: point.text ?? '', evidence: point.evidence ?? '' },
  );
}
