/**
 * Who may have the draft of a loan open: members, but nobody who is listening blind to one of its units. Routes below
 * `loans/:id` are refused to the latter before they reach their handler; sockets ask here.
 */
import type { Role } from '../../../libs/contracts/index.js';
import { sealedFrom, type Tx } from '../../../libs/store/index.js';
import { isMember } from '../access/accessGuard.js';

export type DraftAccess = 'allowed' | 'forbidden' | 'blind';

export async function mayReadDraft(
  tx: Tx,
  loanId: string,
  person: { readonly id: string; readonly role: Role },
): Promise<DraftAccess> {
  if (!isMember(person.role)) return 'forbidden';
  return (await sealedFrom(tx, person.id)).loans.has(loanId) ? 'blind' : 'allowed';
}
