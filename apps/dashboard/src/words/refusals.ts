/** What went wrong, in words a reviewer can act on. */
import { Refused, type Refusal } from '../contracts.js';

export function refusalOf(error: unknown): Refusal {
  if (error instanceof Refused && typeof error.refusal?.message === 'string') return error.refusal;
  if (error instanceof TypeError) {
    return {
      code: 'no-connection',
      message: 'The server can’t be reached.',
      remedy: 'Check the network; nothing you typed is lost. Try again in a moment.',
    };
  }
  return {
    code: 'unclear-answer',
    message: 'The server did not answer properly.',
    remedy: 'Try again. If it stays so, tell whoever runs the server.',
  };
}

export function isStatus(error: unknown, status: number): boolean {
  return error instanceof Refused && error.status === status;
}

/** Kept from whoever is listening blind, until they seal their session. */
export function isSealed(error: unknown): boolean {
  return isStatus(error, 403) && refusalOf(error).code === 'sealed-for-you';
}

/** A field's own message, if the refusal has one. */
export function fieldMessage(refusal: Refusal | null, path: string): string | undefined {
  return refusal?.fields?.find((field) => field.path === path || field.path.startsWith(`${path}.`))?.message;
}
