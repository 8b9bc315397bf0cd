import { afterEach, describe, expect, it, vi } from 'vitest';
import type { AngleResponse } from '../../acoustics/series.js';
import { writeSofa, type SofaStatement } from './writeSofa.js';

const statement: SofaStatement = {
  title: 'Heron (invented)',
  createdAt: new Date('2026-01-05T12:00:00Z'),
  modifiedAt: new Date('2026-01-05T12:00:00Z'),
  authorContact: 'ida@example.org',
  organization: 'The Heath Room (invented)',
  license: 'CC BY 4.0',
  databaseName: 'invented',
  sourceType: 'loudspeaker',
  sourceManufacturer: 'invented',
  referencePoint: 'on the baffle',
  applicationVersion: '1',
};
const response: AngleResponse = {
  orbit: 'horizontal',
  angleDeg: 0,
  frequencyHz: Float64Array.of(100, 1000),
  levelDb: Float64Array.of(80, 81),
  source: { file: 'x', sha256: '' },
};

afterEach(() => vi.useRealTimers());

describe('a SOFA file', () => {
  it('is the same bytes for the same data, in whatever year it is written', async () => {
    vi.useFakeTimers({ toFake: ['Date'], now: new Date('2026-03-01T00:00:00Z') });
    const first = await writeSofa([response], 1, statement);
    vi.setSystemTime(new Date('2031-07-09T01:02:03Z'));
    const later = await writeSofa([response], 1, statement);
    expect(Date.now()).toBeGreaterThan(Date.parse('2031-01-01'));
    expect(Buffer.from(later).equals(Buffer.from(first))).toBe(true);
  });
});
