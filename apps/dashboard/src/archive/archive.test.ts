import { describe, expect, it } from 'vitest';
import type { ArchivePage } from '../contracts.js';
import { askOf, draftOf, readAsk, readChosen, shownNumbers, sortedBy, writeAsk } from './archiveAddress.js';
import { campaignShare, campaignWords, pageWords, withheldWords } from './archiveWords.js';
import { compareLinks, comparePath, readCompare } from './compareAddress.js';

const A = '0b9a2f6e-0000-4000-8000-00000000000a';
const B = '0b9a2f6e-0000-4000-8000-00000000000b';
const read = (text: string) => readAsk(new URLSearchParams(text));

describe('the archive’s address', () => {
  it('reads what it wrote', () => {
    const text = `kinds=standmount,active&text=ribbon&f3HzMax=45.5&sort=f3Hz&order=rising&page=2`;
    const again = writeAsk(read(text), [A, B]);
    expect(read(again.toString())).toEqual(read(text));
    expect(read(text)).toMatchObject({ kinds: ['standmount', 'active'], f3HzMax: 45.5, page: 2 });
    expect(readChosen(again)).toEqual([A, B]);
  });
  it('says nothing of what is as by default', () => {
    expect(writeAsk(read(''), []).toString()).toBe('');
  });
  it('leaves out what makes no sense and keeps the rest', () => {
    expect(read('f3HzMin=low&sort=colour&page=-1&kinds=cube&text=oak&other=1')).toEqual({
      ...read(''),
      text: 'oak',
    });
    expect(read('f3HzMin=60&f3HzMax=40&text=oak')).toEqual({ ...read(''), text: 'oak' });
  });
  it('takes only unit ids as chosen, each once, eight at most', () => {
    expect(readChosen(new URLSearchParams(`chosen=${A},x,${A.toUpperCase()},${B}`))).toEqual([A, B]);
    const many = Array.from({ length: 12 }, (_, i) => `0b9a2f6e-0000-4000-8000-0000000000${10 + i}`);
    expect(readChosen(new URLSearchParams({ chosen: many.join() }))).toHaveLength(8);
  });
});

describe('sorting', () => {
  it('begins the way one mostly wants it and turns round when asked again', () => {
    const bass = sortedBy(read('page=3'), 'f3Hz');
    expect(bass).toMatchObject({ sort: 'f3Hz', order: 'rising', page: 1 });
    expect(sortedBy(bass, 'f3Hz').order).toBe('falling');
    expect(sortedBy(bass, 'sensitivityDb').order).toBe('falling');
  });
  it('shows the column it sorts or limits by', () => {
    expect(shownNumbers(read(''))).not.toContain('f10Hz');
    expect(shownNumbers(read('sort=f10Hz'))).toContain('f10Hz');
    expect(shownNumbers(read('epdrMinimumOhmMin=3'))).toContain('epdrMinimumOhm');
  });
});

describe('the search form', () => {
  const draft = draftOf(read('sensitivityDbMin=86'));
  const typed = (least: string, most: string) => ({
    ...draft,
    limits: { ...draft.limits, f3Hz: { least, most } },
  });
  it('takes a decimal comma, keeps the sorting and starts at the first page', () => {
    expect(askOf(typed('38,5', ''), read('sort=f6Hz&page=4'))).toEqual({
      ask: { ...read('sort=f6Hz'), sensitivityDbMin: 86, f3HzMin: 38.5 },
    });
  });
  it('says at which number something is wrong', () => {
    expect(askOf(typed('deep', ''), read(''))).toEqual({
      wrong: { f3Hz: 'Give a number such as 60 or 4.5.' },
    });
    expect(askOf(typed('60', '40'), read(''))).toMatchObject({ wrong: { f3Hz: /swap/ } });
  });
});

describe('words', () => {
  const page = (rows: number, total: number, at = 1): ArchivePage => ({
    rows: Array.from({ length: rows }),
    total,
    page: at,
    pageSize: 25,
    withheld: 0,
  });
  it('counts', () => {
    expect(pageWords(page(0, 0))).toBe('No units');
    expect(pageWords(page(3, 3))).toBe('3 units');
    expect(pageWords(page(25, 61, 2))).toBe('Units 26 to 50 of 61');
    expect(pageWords(page(1, 26, 2))).toBe('Unit 26 of 26');
    expect(pageWords(page(0, 26, 9))).toBe('Nothing on page 9; there are 26 units');
  });
  it('says why units are missing', () => {
    expect(withheldWords(0)).toBeNull();
    expect(withheldWords(1)).toMatch(/^One unit is not shown: you have not opened its data/);
    expect(withheldWords(2)).toMatch(/^2 units are .* sealed a listening session on them/);
  });
  it('tells how far a campaign is', () => {
    const campaign = {
      id: A,
      algorithmVersion: '2',
      state: 'running' as const,
      total: 40,
      done: 12,
      current: 3,
      failed: 1,
      startedBy: 'Mira',
      createdAt: '',
      finishedAt: null,
    };
    expect(campaignWords(campaign)).toBe(
      '12 of 40 sets recomputed, 3 up to date already, 1 kept its earlier result',
    );
    expect(campaignShare(campaign)).toBe(0.4);
    expect(campaignShare({ ...campaign, total: 0 })).toBe(1);
  });
});

describe('the comparison’s address', () => {
  it('falls back to what the server takes by default', () => {
    expect(readCompare(new URLSearchParams(`units=${A},${B}&curve=colour`))).toEqual({
      units: [A, B],
      curve: 'listeningWindow',
      alignment: 'sensitivity',
    });
  });
  it('reads its own links', () => {
    const ask = { units: [A, B], curve: 'soundPower', alignment: 'as-measured' } as const;
    expect(readCompare(new URL(comparePath(ask), 'http://here').searchParams)).toEqual(ask);
    expect(readCompare(new URL(compareLinks(ask).pngUrl, 'http://here').searchParams)).toEqual(ask);
  });
});
