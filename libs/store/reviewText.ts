/** The words of a review, for whoever publishes them: the one place that knows how they are written. */
import {
  suggestionWords,
  usualOutline,
  type OutlineItem,
  type Point,
  type ReviewPoint,
  type ReviewText,
} from '../contracts/index.js';
import { arrange, evidenceSentences, pointsOf } from '../drafts/index.js';
import type { Tx } from './database.js';

export async function readReviewText(tx: Tx, loanId: string): Promise<ReviewText> {
  const verdict = await tx.verdict.findUnique({ where: { loanId } });
  const house = await tx.draftHouse.findUnique({ where: { id: 1 } });
  const outline = (verdict?.outline ?? house?.outline ?? usualOutline) as unknown as OutlineItem[];
  const { pros, cons, suggestions } = pointsOf(verdict);
  return {
    markdown: inOrder(verdict?.text ?? '', outline),
    pros: pros.map(said),
    cons: cons.map(said),
    suggestions: suggestions.map((one) =>
      said({ ...one, text: `${suggestionWords[one.about]}: ${one.text}` }),
    ),
    version: verdict?.version ?? 0,
  };
}

const said = (point: Point): ReviewPoint => ({
  text: point.text,
  evidence: evidenceSentences(point).join(' '),
});

function inOrder(text: string, outline: readonly OutlineItem[]): string {
  return arrange(text, outline)
    .flatMap((part) =>
      part.part === 'text' ? [part.title === '' ? '' : `## ${part.title}`, part.markdown] : [],
    )
    .filter((block) => block !== '')
    .join('\n\n');
}
