/** Personal access tokens: how a program asks in somebody's name, and how far it may go. */
import { z } from 'zod';

export const scopes = ['read', 'measure', 'loans', 'write'] as const;
export const Scope = z.enum(scopes);
export type Scope = z.infer<typeof Scope>;

/** What a scope opens, within what its owner may do. Signing, publishing, people and passwords take a person. */
export const scopeWords: Readonly<Record<Scope, { name: string; opens: string }>> = {
  read: { name: 'Read', opens: 'Everything you may read: loans, plan, measurements, results, reviews.' },
  measure: { name: 'Measure', opens: 'Begin measurement sets, send files, ask for analyses and read them.' },
  loans: { name: 'Loans and plan', opens: 'Change makers, loans, units, the crate and the plan.' },
  write: { name: 'Write', opens: 'Listening sessions, evidence, the verdict and comments on the draft.' },
};

/** Every token begins like this, so that people and programs that look for leaked secrets know one. */
export const TOKEN_MARK = 'sojourn_';
export const TOKEN_USUAL_DAYS = 90;
export const TOKEN_MOST_DAYS = 365;

export const AddToken = z.object({
  name: z.string().trim().min(1, 'Say what it is for, such as: the computer at the rig.').max(80),
  scopes: z.array(Scope).min(1, 'Choose at least one thing it may do.').max(scopes.length),
  daysValid: z
    .number()
    .int()
    .min(1, 'Give a number of days from 1 to 365.')
    .max(TOKEN_MOST_DAYS, 'Give a number of days from 1 to 365.')
    .default(TOKEN_USUAL_DAYS),
});
export type AddToken = z.input<typeof AddToken>;

export interface TokenView {
  id: string;
  name: string;
  scopes: Scope[];
  state: 'active' | 'expired' | 'revoked';
  createdAt: string;
  expiresAt: string;
  lastUsedAt: string | null;
  /** Shown once, when the token is made. */
  token?: string;
}
