import { DateTime } from 'luxon';
import { expect, it } from 'vitest';
import { stretchWords } from './planCauses.js';

const at = (text: string) => DateTime.fromISO(text, { zone: 'Europe/Berlin' });

it.each([
  ['2026-11-27T00:00', '2026-11-29T00:00', 'Fri 27 Nov to Sat 28 Nov'],
  ['2026-11-27T00:00', '2026-11-28T00:00', 'Fri 27 Nov'],
  // A day of 23 hours.
  ['2026-03-29T00:00', '2026-03-30T00:00', 'Sun 29 Mar'],
  ['2026-11-27T09:00', '2026-11-27T12:30', 'Fri 27 Nov, 09:00 to Fri 27 Nov, 12:30'],
])('from %s to %s is %s', (from, to, words) => expect(stretchWords(at(from), at(to))).toBe(words));
