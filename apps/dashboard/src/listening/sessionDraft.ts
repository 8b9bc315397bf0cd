/** A session as it is written, and how two devices' writing of one session is put together without losing either's. */
import { freshId } from './freshId.js';
import type { ListeningView } from '../contracts.js';
import type { Remark } from './descriptors.js';

export interface SessionDraft {
  readonly heardOn: string;
  readonly placement: string;
  readonly levelDb: number | null;
  readonly sources: string;
  readonly words: string;
  readonly remarks: readonly Remark[];
}

export function draftOf(session: ListeningView): SessionDraft {
  const { heardOn, placement, levelDb, sources, words, remarks } = session;
  return { heardOn, placement, levelDb, sources, words, remarks };
}

export interface MergedDraft {
  readonly draft: SessionDraft;
  /** What both had changed, in words; both versions are in the draft. */
  readonly clashes: readonly string[];
}

/**
 * @param was what both began with; null when this device began before the server knew the session
 * @param mine what was written here
 * @param theirs what another device had sent meanwhile
 */
export function mergeDrafts(was: SessionDraft | null, mine: SessionDraft, theirs: SessionDraft): MergedDraft {
  const clashes: string[] = [];
  const text = (key: 'placement' | 'sources' | 'words', words: string): string => {
    const before = was?.[key] ?? '';
    if (mine[key] === theirs[key] || mine[key] === before) return theirs[key];
    if (theirs[key] === before) return mine[key];
    clashes.push(words);
    return `${theirs[key]}\n${mine[key]}`;
  };
  const value = <K extends 'heardOn' | 'levelDb'>(key: K, words: string): SessionDraft[K] => {
    if (was && mine[key] === was[key]) return theirs[key];
    if (mine[key] !== theirs[key] && (!was || theirs[key] !== was[key])) {
      clashes.push(`${words} (${mine[key] ?? 'none'} here, ${theirs[key] ?? 'none'} there)`);
    }
    return mine[key];
  };
  const draft = {
    heardOn: value('heardOn', 'the day'),
    levelDb: value('levelDb', 'the level'),
    placement: text('placement', 'the placement'),
    sources: text('sources', 'what was played'),
    words: text('words', 'the free words'),
    remarks: mergeRemarks(was?.remarks ?? [], mine.remarks, theirs.remarks, clashes),
  };
  return { draft, clashes };
}

function mergeRemarks(
  was: readonly Remark[],
  mine: readonly Remark[],
  theirs: readonly Remark[],
  clashes: string[],
): Remark[] {
  const find = (remarks: readonly Remark[], id: string) => remarks.find((one) => one.id === id);
  const ids = [...new Set([...theirs, ...mine].map(({ id }) => id))];
  return ids.flatMap((id): Remark[] => {
    const [before, here, there] = [find(was, id), find(mine, id), find(theirs, id)];
    if (!here && !there) return [];
    // Taken out on one side: gone, unless the other side has written in it since.
    if (!here) return there && before && same(there, before) ? [] : there ? [there] : [];
    if (!there) return before && same(here, before) ? [] : [here];
    if (same(here, there) || (before && same(here, before))) return [there];
    if (before && same(there, before)) return [here];
    clashes.push(`the remark “${here.descriptor ?? here.text}”`);
    return [there, { ...here, id: freshId() }];
  });
}

const ordered = (remark: Remark): string =>
  JSON.stringify(Object.entries(remark).toSorted(([a], [b]) => (a < b ? -1 : 1)));
export const same = (a: Remark, b: Remark): boolean => ordered(a) === ordered(b);
