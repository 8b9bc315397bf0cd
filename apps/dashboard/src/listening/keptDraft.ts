/** What was written in a session but has not reached the server yet, kept on this device. */
import type { Remark } from './descriptors.js';

export interface SessionDraft {
  readonly heardOn: string;
  readonly placement: string;
  readonly levelDb: number | null;
  readonly remarks: readonly Remark[];
}

const nameOf = (sessionId: string): string => `sojourn-listening-${sessionId}`;

export function keepDraft(sessionId: string, draft: SessionDraft): void {
  try {
    localStorage.setItem(nameOf(sessionId), JSON.stringify(draft));
  } catch (error) {
    console.info('This device keeps no drafts:', error);
  }
}
export function keptDraft(sessionId: string): SessionDraft | null {
  try {
    const text = localStorage.getItem(nameOf(sessionId));
    return text === null ? null : (JSON.parse(text) as SessionDraft);
  } catch (error) {
    console.info('No draft can be read on this device:', error);
    return null;
  }
}
export function dropDraft(sessionId: string): void {
  try {
    localStorage.removeItem(nameOf(sessionId));
  } catch (error) {
    console.info('This device keeps no drafts:', error);
  }
}
