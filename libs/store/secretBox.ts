/**
 * Secrets that must be read again, such as the keys of webhooks, sealed with a key that is not in the database: whoever
 * has the database or a backup alone cannot use them. AES-256-GCM (NIST SP 800-38D) under a key drawn by HKDF (RFC 5869).
 */
import { createCipheriv, createDecipheriv, createHash, hkdfSync, randomBytes } from 'node:crypto';

const FORM = 'sealed1';
const IV_BYTES = 12;
const TAG_BYTES = 16;
/** Shorter ones could be guessed. */
export const KEY_LEAST_CHARACTERS = 32;

export class SecretLocked extends Error {
  readonly code = 'secret-locked';
}

export interface SecretBox {
  /** @param about what it belongs to: it can't be opened as anything else's */
  seal(secret: string, about: string): string;
  /** @throws SecretLocked when another key sealed it, or it was changed */
  open(sealed: string, about: string): string;
  isOwn(sealed: string): boolean;
}

export const isSealed = (stored: string): boolean => stored.startsWith(`${FORM}.`);

/** @param key any text of at least 32 characters that was made at random */
export function openSecretBox(key: string): SecretBox {
  const sealing = Buffer.from(hkdfSync('sha256', key, '', 'sojourn sealed secrets', 32));
  // Tells keys apart without telling the key.
  const mark = createHash('sha256').update('sojourn key mark').update(sealing).digest('hex').slice(0, 8);
  const isOwn = (sealed: string) => sealed.startsWith(`${FORM}.${mark}.`);
  return {
    isOwn,
    seal: (secret, about) => {
      const iv = randomBytes(IV_BYTES);
      const cipher = createCipheriv('aes-256-gcm', sealing, iv).setAAD(Buffer.from(about));
      const text = Buffer.concat([cipher.update(secret, 'utf8'), cipher.final()]);
      return `${FORM}.${mark}.${Buffer.concat([iv, cipher.getAuthTag(), text]).toString('base64url')}`;
    },
    open: (sealed, about) => {
      if (!isOwn(sealed)) throw new SecretLocked('It was sealed with another key than this house has.');
      const bytes = Buffer.from(sealed.split('.')[2] ?? '', 'base64url');
      try {
        const decipher = createDecipheriv('aes-256-gcm', sealing, bytes.subarray(0, IV_BYTES))
          .setAAD(Buffer.from(about))
          .setAuthTag(bytes.subarray(IV_BYTES, IV_BYTES + TAG_BYTES));
        const text = Buffer.concat([decipher.update(bytes.subarray(IV_BYTES + TAG_BYTES)), decipher.final()]);
        return text.toString('utf8');
      } catch (error) {
        throw new SecretLocked('It was changed after it was sealed.', { cause: error });
      }
    },
  };
}
