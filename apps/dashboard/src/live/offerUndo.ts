/** After a deletion: where it went, and a way to take it back at once. */
import type { Binned, PutBack } from '../contracts.js';
import { refusalOf } from '../words/refusals.js';
import { say } from './toasts.js';

export const isBinned = (answer: unknown): answer is Binned =>
  typeof answer === 'object' && answer !== null && 'binId' in answer && 'expiresAt' in answer;

export function offerUndo(binned: Binned, putBack: (binId: string) => Promise<PutBack>): void {
  say({
    tone: 'plain',
    title: 'In the bin',
    text: `${binned.title}: it can be put back for 30 days.`,
    to: '/bin',
    act: { words: 'Undo', run: () => void undo(binned, putBack) },
  });
}

async function undo({ binId }: Binned, putBack: (binId: string) => Promise<PutBack>): Promise<void> {
  try {
    const { title, note } = await putBack(binId);
    say({
      tone: note === '' ? 'good' : 'risk',
      title: 'Put back',
      text: note === '' ? `${title} is where it was.` : note,
    });
  } catch (error) {
    say({ tone: 'late', title: 'Not put back', text: refusalOf(error).message, to: '/bin' });
  }
}
