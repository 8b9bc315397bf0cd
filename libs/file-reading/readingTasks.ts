/** What the server's processes ask of the limited ones that read what people upload. Values cross as structured clones. */
import type { FileEntry } from '../measurement-files/archive/expandZip.js';
import type { Problem } from '../measurement-files/problem.js';
import type { PictureSize } from './pictureSize.js';

export interface ReadingTasks {
  /** A set's unpacked files to typed series, serialised; no series when there are problems. */
  readonly 'read-set': {
    readonly ask: { readonly entries: readonly FileEntry[] };
    readonly answer: { readonly series?: Uint8Array; readonly problems: readonly Problem[] };
  };
  /** A ZIP archive on disk to its files; none when there are problems. */
  readonly 'expand-archive': {
    readonly ask: { readonly file: string; readonly name: string };
    readonly answer: { readonly entries: readonly FileEntry[]; readonly problems: readonly Problem[] };
  };
  /** How large a picture says it is; undefined when it is none that we know. */
  readonly 'measure-picture': {
    readonly ask: { readonly head: Uint8Array };
    readonly answer: { readonly size: PictureSize | undefined };
  };
}
export type ReadingTask = keyof ReadingTasks;

export type ReadingRequest = {
  [T in ReadingTask]: { readonly task: T; readonly ask: ReadingTasks[T]['ask'] };
}[ReadingTask];

export type ReadingReply =
  | { readonly kind: 'at'; readonly file: string }
  | { readonly kind: 'answer'; readonly answer: ReadingTasks[ReadingTask]['answer'] }
  | { readonly kind: 'fault'; readonly message: string };
