import { expect, it } from 'vitest';
import { dayWords } from './dayWords.js';

it('says a day as people do, with the year when it is another one', () => {
  expect(dayWords('2026-12-03', '2026-11-25')).toBe('Thu 3 Dec');
  expect(dayWords('2027-01-04', '2026-11-25')).toBe('Mon 4 Jan 2027');
});
