/** Accounts, sessions and invitations. */
import { z } from 'zod';
import { Role } from './names.js';

const name = z.string().trim().min(1, 'Give a name.').max(120);
const email = z.email('Give an e-mail address such as ana@example.org.').max(254).toLowerCase();
const password = z
  .string()
  .min(12, 'Use at least 12 characters; a few unrelated words work well.')
  .max(256, 'Use at most 256 characters.');

export const SetUpInstallation = z.object({
  teamName: name.describe('What the team calls itself'),
  timeZone: z.string().max(64).describe('IANA zone, such as Europe/Berlin').default('UTC'),
  name,
  email,
  password,
  demo: z.boolean().default(false).describe('Load the invented demo'),
  setupCode: z.string().max(64).optional().describe('The one-time code printed where the server was started'),
});
export type SetUpInstallation = z.input<typeof SetUpInstallation>;

export const SignIn = z.object({
  email: z.string().max(254).trim().toLowerCase(),
  password: z.string().max(256),
});
export type SignIn = z.input<typeof SignIn>;

export const InvitePerson = z.object({
  role: Role.exclude(['owner']),
  note: z.string().trim().max(200).default('').describe('Who it is for, for your own list'),
  daysValid: z.number().int().min(1).max(30).default(7),
});
export type InvitePerson = z.input<typeof InvitePerson>;

export const AcceptInvitation = z.object({ token: z.string().min(20).max(200), name, email, password });
export type AcceptInvitation = z.input<typeof AcceptInvitation>;

export const ChangePerson = z.object({
  version: z.number().int(),
  name: name.optional(),
  role: Role.exclude(['owner']).optional(),
  timeZone: z.string().max(64).optional(),
  disabled: z.boolean().optional(),
});
export type ChangePerson = z.input<typeof ChangePerson>;

export const ChangePassword = z.object({ current: z.string().max(256), next: password });

export interface Person {
  id: string;
  name: string;
  email: string;
  role: Role;
  timeZone: string;
  disabled: boolean;
  invented: boolean;
  version: number;
}

export interface SessionState {
  /** False on an empty installation: show the first-run page. */
  installed: boolean;
  teamName?: string;
  timeZone?: string;
  /** The installation holds the invented demo. */
  invented?: boolean;
  /** First run from another machine needs the code printed where the server was started. */
  setupCodeNeeded?: boolean;
  /** Demo sign-ins the first page may offer (an invented installation only). */
  demoAccounts?: { email: string; name: string; role: Role; password: string }[];
  person?: Person;
  /** Last feed number at the time of the answer. */
  feedNumber?: number;
}

/** A browser, or a program, that is signed in. */
export interface OwnSession {
  id: string;
  device: string;
  begunAt: string;
  seenAt: string;
  /** At the latest; earlier when it is not used. */
  endsAt: string;
  /** The one that asks. */
  here: boolean;
}

export interface Invitation {
  id: string;
  role: Role;
  note: string;
  invitedBy: string;
  createdAt: string;
  expiresAt: string;
  state: 'open' | 'accepted' | 'revoked' | 'expired';
  /** Shown once, when the invitation is made. */
  link?: string;
}

/** The invented people of the demo all use this; it opens nothing else. */
export const DEMO_PASSWORD = 'a borrowed pair of boxes';

/** Stands wherever the name of somebody stood whose account was deleted. */
export const FORMER_MEMBER = 'a former member';

export const REMOVAL_WORDS = 'delete this account';
export const RemoveAccount = z.object({
  password: z.string().max(256).describe('Of whoever asks'),
  confirm: z.literal(REMOVAL_WORDS, `Type “${REMOVAL_WORDS}”.`),
});
export type RemoveAccount = z.input<typeof RemoveAccount>;

/** What is said before an account is deleted. */
export interface RemovalView {
  /** Why it cannot be, in a sentence; empty when it can. */
  refused: string;
  /** Reviews that are out and stay as they were published, with the name. */
  published: string[];
  /** Listening sessions that are not sealed: they go. */
  unsealedSessions: number;
  /** When the last backup made by itself that holds the account is cleared; null when none is made. */
  backupsUntil: string | null;
  /** Backups that stay until the owner removes them. */
  backupsKept: number;
}
