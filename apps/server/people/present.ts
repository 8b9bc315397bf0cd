/** What is said of people: every field named, nothing else leaves. */
import type { Invitation, Person, Role } from '../../../libs/contracts/index.js';

interface AccountRow {
  id: string;
  name: string;
  email: string;
  role: Role;
  timeZone: string;
  disabledAt: Date | null;
  invented: boolean;
  version: number;
}

export function presentPerson(row: AccountRow): Person {
  const { id, name, email, role, timeZone, disabledAt, invented, version } = row;
  return { id, name, email, role, timeZone, disabled: disabledAt !== null, invented, version };
}

interface InvitationRow {
  id: string;
  role: Role;
  note: string;
  createdAt: Date;
  expiresAt: Date;
  acceptedAt: Date | null;
  revokedAt: Date | null;
}

export function presentInvitation(
  row: InvitationRow,
  invitedBy: string,
  now: Date,
  link?: string,
): Invitation {
  const state = row.acceptedAt
    ? 'accepted'
    : row.revokedAt
      ? 'revoked'
      : row.expiresAt < now
        ? 'expired'
        : 'open';
  return {
    id: row.id,
    role: row.role,
    note: row.note,
    invitedBy,
    createdAt: row.createdAt.toISOString(),
    expiresAt: row.expiresAt.toISOString(),
    state,
    ...(link ? { link } : {}),
  };
}
