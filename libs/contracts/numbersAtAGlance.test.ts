import { expect, it } from 'vitest';
import { glances } from './numbersAtAGlance.js';

it('shows what the data could give, in a fixed order, and nothing for the rest', () => {
  const shown = glances({
    minimumOhm: 3.2,
    sensitivityDb: 86.4,
    f3Hz: null,
    coverageDeg: Number.NaN,
    new: 'x',
  });
  expect(shown.map((each) => [each.key, each.value, each.unit])).toEqual([
    ['sensitivityDb', 86.4, 'dB'],
    ['minimumOhm', 3.2, 'Ω'],
  ]);
  expect(glances(null)).toEqual([]);
});
