/** What must be true before a review goes out, tested when it is asked for and again at the moment it does. */
import type { Condition, Stage } from '../contracts/index.js';
import { consHaveEvidence, embargoOver, makerRoundOver, signedOff } from './conditions.js';
import type { LoanFacts } from './facts.js';

const publishable: readonly Stage[] = ['drafting', 'published', 'returning', 'closed'];

/** Nobody overrides this one: before drafting there is no review. */
export const REVIEW_WRITTEN = 'review-written';
const EMBARGO = 'embargo-over';

export function publicationConditions(facts: LoanFacts): Condition[] {
  const written: Condition = {
    code: REVIEW_WRITTEN,
    sentence: 'The loan has come to drafting, and a verdict is written.',
    met: publishable.includes(facts.stage) && facts.verdictVersion > 0,
  };
  return [written, consHaveEvidence(facts), signedOff(facts), makerRoundOver(facts), embargoOver(facts)];
}

export interface PublicationOverride {
  /** Codes of the conditions the owner published against. */
  readonly codes: readonly string[];
  /** The embargo that stood then: one that was moved since is not overridden. */
  readonly embargoUntil: string | null;
}

/** The conditions that stand in the way now. */
export function standingInTheWay(facts: LoanFacts, override: PublicationOverride): Condition[] {
  const overridden = ({ code }: Condition): boolean =>
    code !== REVIEW_WRITTEN &&
    override.codes.includes(code) &&
    (code !== EMBARGO || sameInstant(override.embargoUntil, facts.embargoUntil));
  return publicationConditions(facts).filter((condition) => !condition.met && !overridden(condition));
}

export const onlyTheEmbargo = (open: readonly Condition[]): boolean =>
  open.length > 0 && open.every(({ code }) => code === EMBARGO);

const sameInstant = (a: string | null, b: string | null): boolean =>
  (a === null ? null : Date.parse(a)) === (b === null ? null : Date.parse(b));
