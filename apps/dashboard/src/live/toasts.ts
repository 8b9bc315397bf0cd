/** Short notices at the edge of the page, kept outside React so that any code may say something. */
import type { Saying } from './effects.js';

export interface Toast extends Omit<Saying, 'to'> {
  readonly id: number;
  readonly to?: string;
  /** What can be done about it right here. */
  readonly act?: { readonly words: string; readonly run: () => void };
}

let toasts: readonly Toast[] = [];
let lastId = 0;
const listeners = new Set<() => void>();

function change(next: readonly Toast[]): void {
  toasts = next;
  for (const listener of listeners) listener();
}

export function say(saying: Omit<Toast, 'id'>): void {
  lastId += 1;
  // The newest four: older ones are in the history.
  change([...toasts, { ...saying, id: lastId }].slice(-4));
}
export function dismiss(id: number): void {
  change(toasts.filter((toast) => toast.id !== id));
}
export function subscribe(listener: () => void): () => void {
  listeners.add(listener);
  return () => listeners.delete(listener);
}
export const currentToasts = (): readonly Toast[] => toasts;
