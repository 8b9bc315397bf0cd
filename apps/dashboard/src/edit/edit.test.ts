import { describe, expect, it } from 'vitest';
import { draftOf, valuesOf, wordsOf, type FieldSpecs } from './fieldSpec.js';
import { changedKeys, mergeOf, resolved } from './merge.js';

interface Thing {
  title: string;
  massKg: number | null;
  insuredMinor: number | null;
  currency: string;
  returnBy: string | null;
  embargo: string | null;
  carrier: string | null;
  keep: boolean;
  payer: 'maker' | null;
  days: number;
}
const specs: FieldSpecs<Thing> = [
  { key: 'title', label: 'Title', kind: 'text', required: true },
  { key: 'massKg', label: 'Mass', kind: 'number', unit: 'kg' },
  { key: 'insuredMinor', label: 'Insured', kind: 'money', currencyKey: 'currency' },
  { key: 'returnBy', label: 'Back by', kind: 'day' },
  { key: 'embargo', label: 'Embargo', kind: 'instant' },
  { key: 'carrier', label: 'Carrier', kind: 'text', nullable: true },
  { key: 'keep', label: 'Keep', kind: 'check' },
  { key: 'payer', label: 'Payer', kind: 'choice', options: [{ value: 'maker', words: 'the maker' }] },
  { key: 'days', label: 'Days', kind: 'whole', required: true },
];
const thing: Thing = {
  title: 'Alder',
  massKg: 12.5,
  insuredMinor: 240_000,
  currency: 'EUR',
  returnBy: '2026-03-20',
  embargo: '2026-03-15T09:30:00.000Z',
  carrier: null,
  keep: true,
  payer: null,
  days: 3,
};
const keys = specs.map((spec) => spec.key);

describe('a draft', () => {
  it('untouched says exactly what the record said', () => {
    const { values, wrong } = valuesOf(draftOf(thing, specs), specs);
    expect(wrong).toEqual({});
    expect(changedKeys(thing as never, values, keys)).toEqual([]);
  });
  it('names what can’t be read instead of sending it', () => {
    const draft = {
      ...draftOf(thing, specs),
      title: ' ',
      massKg: 'heavy',
      insuredMinor: '12.345',
      days: '2.5',
    };
    expect(Object.keys(valuesOf(draft, specs).wrong)).toEqual(['title', 'massKg', 'insuredMinor', 'days']);
  });
  it('empties to nothing', () => {
    const draft = { ...draftOf(thing, specs), massKg: '', embargo: '', returnBy: '', carrier: '  ' };
    expect(valuesOf(draft, specs).values).toMatchObject({
      massKg: null,
      embargo: null,
      returnBy: null,
      carrier: null,
    });
  });
  it('reads as people say it', () => {
    const words = (key: keyof Thing) =>
      wordsOf(
        thing,
        specs.find((spec) => spec.key === key)!,
        '2026-03-01',
      );
    expect(words('massKg')).toBe('12.5 kg');
    expect(words('insuredMinor')).toBe('2,400.00 EUR');
    expect(words('keep')).toBe('yes');
    expect(words('payer')).toBeNull();
  });
});

describe('two versions', () => {
  const was = { title: 'Alder', notes: '', returnBy: '2026-03-20', days: 3 };
  const mine = { ...was, title: 'Alder 2', returnBy: '2026-03-25' };
  const theirs = { ...was, notes: 'Call first', returnBy: '2026-03-22' };
  const among = Object.keys(was);
  it('keep what only one touched and ask about what both did', () => {
    const merge = mergeOf(was, mine, theirs, among);
    expect(merge.mineOnly).toEqual(['title']);
    expect(merge.theirsOnly).toEqual(['notes']);
    expect(merge.clashes).toEqual([
      { key: 'returnBy', was: '2026-03-20', mine: '2026-03-25', theirs: '2026-03-22' },
    ]);
    expect(resolved(merge, mine, new Set())).toEqual({ title: 'Alder 2' });
    expect(resolved(merge, mine, new Set(['returnBy']))).toEqual({
      title: 'Alder 2',
      returnBy: '2026-03-25',
    });
  });
  it('do not clash when both say the same', () => {
    expect(mergeOf(was, mine, mine, among).clashes).toEqual([]);
    const at = { at: '2026-03-15T10:30:00+01:00' };
    expect(changedKeys(at, { at: '2026-03-15T09:30:00.000Z' }, ['at'])).toEqual([]);
  });
});
