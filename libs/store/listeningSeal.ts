/** The seal of a listening session: a hash over its canonical JSON (RFC 8785) with the time. */
import { createHash } from 'node:crypto';
import { canonicalJson, type Remark } from '../contracts/index.js';
import { dayOf, instantOf } from './dates.js';

export interface SealedContent {
  readonly id: string;
  readonly unitId: string;
  readonly listenerId: string;
  readonly heardOn: Date | null;
  readonly placement: string;
  readonly levelDb: number | null;
  readonly sources: string;
  readonly words: string;
  readonly remarks: unknown;
  readonly begunAt: Date | null;
}
export interface SealFacts {
  readonly listenerName: string;
  readonly unitName: string;
  readonly blind: boolean;
  readonly sealedAt: Date;
}

export function sealedTextOf(session: SealedContent, facts: SealFacts): string {
  return canonicalJson({ schema: 'sojourn.listening/1', ...contentOf(session), ...saidOf(facts) });
}

const contentOf = (session: SealedContent) => ({
  sessionId: session.id,
  unitId: session.unitId,
  listenerId: session.listenerId,
  heardOn: dayOf(session.heardOn),
  placement: session.placement,
  levelDb: session.levelDb,
  sources: session.sources,
  words: session.words,
  remarks: session.remarks as Remark[],
  begunAt: instantOf(session.begunAt),
});

const saidOf = ({ listenerName, unitName, blind, sealedAt }: SealFacts) => ({
  listener: listenerName,
  unit: unitName,
  blind,
  sealedAt: sealedAt.toISOString(),
});

export const hashOfText = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

/** The hash fits the kept text, and what stands in the session is what the text says. */
export function sealHolds(
  session: SealedContent & { readonly blind: boolean; readonly sealedAt: Date | null },
  seal: { readonly sealedText: string | null; readonly sealHash: string | null },
): boolean {
  const { sealedText, sealHash } = seal;
  if (sealedText === null || session.sealedAt === null || hashOfText(sealedText) !== sealHash) return false;
  const kept = JSON.parse(sealedText) as Record<string, unknown>;
  const now = { ...contentOf(session), blind: session.blind, sealedAt: session.sealedAt.toISOString() };
  return Object.entries(now).every(
    ([name, value]) => canonicalJson(kept[name] ?? null) === canonicalJson(value),
  );
}
