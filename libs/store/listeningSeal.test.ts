import { describe, expect, it } from 'vitest';
import { hashOfText, sealedTextOf, sealHolds } from './listeningSeal.js';

const sealedAt = new Date('2031-05-02T18:30:00Z');
const session = {
  id: 's',
  unitId: 'u',
  listenerId: 'l',
  heardOn: new Date('2031-05-02'),
  placement: '',
  levelDb: 78,
  sources: '',
  words: 'Good.',
  remarks: [{ severity: 2, id: 'r', text: 'harsh', sign: 'excess' }],
  begunAt: new Date('2031-05-02T17:00:00Z'),
  blind: true,
  sealedAt,
};
const sealedText = sealedTextOf(session, { listenerName: 'Ann', unitName: 'Heron', blind: true, sealedAt });
const seal = { sealedText, sealHash: hashOfText(sealedText) };

describe('a seal', () => {
  it('holds over what was sealed, in whatever order its fields come back from the database', () => {
    expect(sealHolds(session, seal)).toBe(true);
    const [remark] = session.remarks;
    const turned = { ...session, remarks: [{ text: 'harsh', sign: 'excess', severity: 2, id: remark?.id }] };
    expect(sealHolds(turned, seal)).toBe(true);
  });
  it.each([
    ['a remark', { remarks: [] }],
    ['a word', { words: 'Good!' }],
    ['the level', { levelDb: null }],
    ['that it was blind', { blind: false }],
    ['the time', { sealedAt: new Date('2031-05-02T18:30:01Z') }],
  ])('breaks when %s was changed', (_what, part) =>
    expect(sealHolds({ ...session, ...part }, seal)).toBe(false),
  );
  it('breaks when the text was changed, and when the hash was', () => {
    expect(sealHolds(session, { ...seal, sealedText: sealedText.replace('harsh', 'sweet') })).toBe(false);
    expect(sealHolds(session, { ...seal, sealHash: hashOfText('') })).toBe(false);
    expect(sealHolds(session, { sealedText: null, sealHash: 'x' })).toBe(false);
  });
  // FIPS 180-4, the example of one block: SHA-256 of "abc".
  it('takes SHA-256', () =>
    expect(hashOfText('abc')).toBe('ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'));
});
