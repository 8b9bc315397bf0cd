import { expect, it } from 'vitest';
import { StaleVersion } from './versioned.js';

it('shows the second writer what stands now, without its secrets', () => {
  const row = { name: 'Ana', version: 3, passwordHash: '$argon2id$x', tokenHash: 'y', sealHash: 'z' };
  expect(new StaleVersion(row).current).toEqual({ name: 'Ana', version: 3, sealHash: 'z' });
  expect(new StaleVersion(null).current).toBeNull();
});
