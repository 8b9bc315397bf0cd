/**
 * One link of the history: what its hashes are taken over. A link's hash covers the hash of the one before it, so
 * that nothing can be changed, removed, put in or moved without all that follows no longer fitting.
 *
 * What is personal can be erased later: it is hashed with a salt of its own, and without the salt the hash that stays
 * tells nothing (a short name cannot be guessed from it).
 */
import { createHash, randomBytes } from 'node:crypto';
import { canonicalJson } from '../contracts/index.js';

/** Before the first link. */
export const CHAIN_BEGIN = '0'.repeat(64);

export interface LinkContent {
  readonly id: string;
  readonly actorId: string | null;
  readonly action: string;
  readonly loanId: string | null;
  readonly subject: string;
  readonly subjectId: string;
  readonly sentence: string;
  readonly before: unknown;
  readonly after: unknown;
  readonly reason: string | null;
}

export interface LinkPlace {
  readonly number: bigint;
  readonly at: Date;
}

export interface Link {
  readonly nameSalt: string;
  readonly nameHash: string;
  readonly salt: string;
  readonly contentHash: string;
  readonly hash: string;
}

const sha256 = (text: string): string => createHash('sha256').update(text, 'utf8').digest('hex');

/** SHA-256 of salt and name. @param salt 32 hexadecimal digits, random */
export const nameHashOf = (salt: string, actorName: string): string => sha256(salt + actorName);

/** SHA-256 of salt and canonical JSON (RFC 8785) of everything but the actor's name, which its own hash stands for. */
export function contentHashOf(salt: string, content: LinkContent, nameHash: string): string {
  const { id, actorId, action, loanId, subject, subjectId, sentence, reason } = content;
  const before = content.before ?? null;
  const after = content.after ?? null;
  const said = { actorId, action, loanId, subject, subjectId, sentence, before, after, reason };
  return sha256(salt + canonicalJson({ id, ...said, nameHash }));
}

/** SHA-256 of canonical JSON (RFC 8785) of the hash before, the number, the time and the content's hash. */
export function linkHashOf(previous: string, { number, at }: LinkPlace, contentHash: string): string {
  return sha256(
    canonicalJson({ previous, number: number.toString(), at: at.toISOString(), content: contentHash }),
  );
}

const newSalt = (): string => randomBytes(16).toString('hex');

export function makeLink(
  previous: string,
  place: LinkPlace,
  content: LinkContent & { readonly actorName: string },
): Link {
  const nameSalt = newSalt();
  const nameHash = nameHashOf(nameSalt, content.actorName);
  const salt = newSalt();
  const contentHash = contentHashOf(salt, content, nameHash);
  return { nameSalt, nameHash, salt, contentHash, hash: linkHashOf(previous, place, contentHash) };
}
