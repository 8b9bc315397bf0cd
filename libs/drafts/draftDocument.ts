/**
 * The text as a document several people write in at once. Updates merge in any order and any number of times to the
 * same text (a conflict-free replicated data type; Yjs).
 */
import * as Y from 'yjs';
import { DRAFT_TEXT } from '../contracts/index.js';

/** @param updates merged state first or last: their order does not matter */
export function documentOf(updates: readonly Uint8Array[]): Y.Doc {
  const document = new Y.Doc();
  // Named before anything is read into it: a type the library meets first has no kind, and is exchanged later.
  document.getText(DRAFT_TEXT);
  document.transact(() => {
    for (const update of updates) Y.applyUpdate(document, update);
  });
  return document;
}

export const textIn = (document: Y.Doc): Y.Text => document.getText(DRAFT_TEXT);
export const textOf = (document: Y.Doc): string => textIn(document).toJSON();

export type Applied =
  | { readonly applied: 'nothing-new' | 'malformed' | 'incomplete' }
  | { readonly applied: 'new'; readonly update: Uint8Array };

/**
 * Adds what is new of an update. One that was there already changes nothing; one that builds on what is not there is
 * not taken: its sender has to ask for the whole and send again.
 */
export function applyTo(document: Y.Doc, update: Uint8Array): Applied {
  const made: Uint8Array[] = [];
  const collect = (fresh: Uint8Array) => made.push(fresh);
  document.on('update', collect);
  try {
    Y.applyUpdate(document, update);
  } catch {
    // The library throws whatever its reader stumbled over; the sender is told, and nothing of it is kept.
    return { applied: 'malformed' };
  } finally {
    document.off('update', collect);
  }
  if (document.store.pendingStructs !== null || document.store.pendingDs !== null)
    return { applied: 'incomplete' };
  return made.length === 0 ? { applied: 'nothing-new' } : { applied: 'new', update: Y.mergeUpdates(made) };
}

/** Replaces the whole text by another, touching only what differs between. @returns the update, if any */
export function rewrite(document: Y.Doc, wanted: string): Uint8Array | undefined {
  const text = textIn(document);
  const was = text.toJSON();
  if (was === wanted) return undefined;
  const start = commonStart(was, wanted);
  const end = commonEnd(was.slice(start), wanted.slice(start));
  return changed(document, () => {
    text.delete(start, was.length - start - end);
    text.insert(start, wanted.slice(start, wanted.length - end));
  });
}

/** What a change made by the server itself comes to. */
export function changed(document: Y.Doc, change: () => void): Uint8Array {
  const before = Y.encodeStateVector(document);
  document.transact(change);
  return Y.encodeStateAsUpdate(document, before);
}

function commonStart(a: string, b: string): number {
  let at = 0;
  while (at < a.length && a[at] === b[at]) at += 1;
  // A character of two code units stays whole.
  return at > 0 && isHigh(a.charCodeAt(at - 1)) ? at - 1 : at;
}
function commonEnd(a: string, b: string): number {
  let count = 0;
  while (count < a.length && count < b.length && a[a.length - 1 - count] === b[b.length - 1 - count])
    count += 1;
  return count > 0 && isLow(a.charCodeAt(a.length - count)) ? count - 1 : count;
}
const isHigh = (unit: number): boolean => unit >= 0xd800 && unit <= 0xdbff;
const isLow = (unit: number): boolean => unit >= 0xdc00 && unit <= 0xdfff;

export interface Anchor {
  readonly start: Record<string, unknown>;
  readonly end: Record<string, unknown>;
}

/** A stretch of the text as positions that move with it. */
export function anchorAt(text: Y.Text, from: number, to: number): Anchor {
  return {
    // What is written right before or after the stretch does not become part of it.
    start: positionJson(Y.createRelativePositionFromTypeIndex(text, from, 0)),
    end: positionJson(Y.createRelativePositionFromTypeIndex(text, to, -1)),
  };
}

const positionJson = (position: Y.RelativePosition): Record<string, unknown> =>
  Y.relativePositionToJSON(position) as Record<string, unknown>;

/** Where the stretch is now; undefined when nothing of it is left or the positions are not of this text. */
export function stretchOf(document: Y.Doc, anchor: Anchor): { from: number; to: number } | undefined {
  const from = indexOf(document, anchor.start);
  const to = indexOf(document, anchor.end);
  return from === undefined || to === undefined || to <= from ? undefined : { from, to };
}

/** @param position as it came over the wire: anything */
export function indexOf(document: Y.Doc, position: unknown): number | undefined {
  try {
    const relative = Y.createRelativePositionFromJSON(position);
    const absolute = Y.createAbsolutePositionFromRelativePosition(relative, document);
    return absolute?.type === textIn(document) ? absolute.index : undefined;
  } catch {
    // Not a position at all.
    return undefined;
  }
}
