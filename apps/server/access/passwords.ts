/** Passwords: argon2id with the OWASP Password Storage Cheat Sheet's first choice (19 MiB, 2 passes, 1 lane). */
import { hash, verify } from '@node-rs/argon2';

const COST = { memoryCost: 19_456, timeCost: 2, parallelism: 1 } as const;

export const hashPassword = (password: string): Promise<string> => hash(password.normalize('NFKC'), COST);

let decoy: Promise<string> | undefined;

/** Takes as long for an unknown person as for a known one, so that the answer's time tells nothing. */
export async function passwordFits(stored: string | undefined, given: string): Promise<boolean> {
  decoy ??= hashPassword('nobody has this password');
  const fits = await verify(stored ?? (await decoy), given.normalize('NFKC'));
  return stored !== undefined && fits;
}
