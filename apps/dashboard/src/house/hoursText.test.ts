import { describe, expect, it } from 'vitest';
import { hoursOf, hoursWords, linesOf, usualHours } from './hoursText.js';

const monday = (line: string) => hoursOf([line, '', '', '', '', '', '']);

describe('weekly hours as typed', () => {
  it('come back as they were', () => {
    const lines = ['09:00-12:30, 13:30-18:00', '', '', '', '', '10:00-24:00', ''];
    expect(linesOf(hoursOf(lines).hours)).toEqual(lines);
    expect(hoursOf(lines).wrong.filter(Boolean)).toEqual([]);
  });
  it('are understood with fewer signs', () => {
    expect(monday('9-17').hours).toEqual([{ weekday: 1, from: '09:00', to: '17:00' }]);
    expect(monday(' 9:30 to 12 , 13–17:15').hours).toHaveLength(2);
  });
  it.each(['morning', '25-26', '18:00-09:00', '09:00-12:00, 11:00-14:00', '9:75-10', '24:30-24:45'])(
    'are refused when they say nothing usable: %s',
    (line) => expect(monday(line).wrong[0]).toBeTypeOf('string'),
  );
  it('are said in short', () => {
    expect(hoursWords(usualHours)).toBe('Mon to Fri 09:00-18:00');
    expect(hoursWords([])).toBe('never');
    expect(
      hoursWords([
        { weekday: 6, from: '10:00', to: '14:00' },
        { weekday: 1, from: '09:00', to: '12:00' },
        { weekday: 2, from: '09:00', to: '12:00' },
      ]),
    ).toBe('Mon and Tue 09:00-12:00; Sat 10:00-14:00');
  });
});
