import { describe, expect, it } from 'vitest';
import { isSealed, openSecretBox, SecretLocked } from './secretBox.js';

describe('sealed secrets', () => {
  const key = 'a key of thirty-two characters at least';
  const box = openSecretBox(key);

  it('opens what it sealed, never the same twice, and shows nothing of it', () => {
    const [one, other] = [box.seal('the key of a webhook', 'a'), box.seal('the key of a webhook', 'a')];
    expect(one).not.toBe(other);
    expect(Buffer.from(one.split('.')[2] ?? '', 'base64url').toString('latin1')).not.toContain('webhook');
    expect([one, other].map((sealed) => box.open(sealed, 'a'))).toEqual(
      Array(2).fill('the key of a webhook'),
    );
    expect([isSealed(one), isSealed('the key of a webhook'), box.isOwn(one)]).toEqual([true, false, true]);
    expect(openSecretBox(key).open(one, 'a')).toBe('the key of a webhook');
  });

  it('opens nothing of another key, of somebody else’s, or that was changed', () => {
    const sealed = box.seal('s', 'ida');
    const other = openSecretBox(`${key}.`);
    expect(other.isOwn(sealed)).toBe(false);
    expect(() => other.open(sealed, 'ida')).toThrow(SecretLocked);
    expect(() => box.open(sealed, 'bo')).toThrow(SecretLocked);
    const bytes = Buffer.from(sealed.split('.')[2] ?? '', 'base64url');
    for (const at of [0, 13, bytes.length - 1]) {
      const changed = Buffer.from(bytes);
      changed[at] = (changed[at] ?? 0) ^ 1;
      const forged = [...sealed.split('.').slice(0, 2), changed.toString('base64url')].join('.');
      expect(() => box.open(forged, 'ida')).toThrow(SecretLocked);
    }
    expect(() => box.open('sealed1', 'ida')).toThrow(SecretLocked);
  });
});
