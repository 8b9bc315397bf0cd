import { describe, expect, it } from 'vitest';
import { canonicalJson } from './canonicalJson.js';

describe('canonical JSON', () => {
  // RFC 8785, section 3.2.2: the example and its canonical form.
  it('writes numbers, strings and literals as the standard does', () => {
    const value = JSON.parse(`{
      "numbers": [333333333.33333329, 1E30, 4.50, 2e-3, 0.000000000000000000000000001],
      "string": "\\u20ac$\\u000F\\u000aA'\\u0042\\u0022\\u005c\\\\\\"\\/",
      "literals": [null, true, false]
    }`) as unknown;
    expect(canonicalJson(value)).toBe(
      String.raw`{"literals":[null,true,false],"numbers":[333333333.3333333,1e+30,4.5,0.002,1e-27],"string":"€$\u000f\nA'B\"\\\\\"/"}`,
    );
  });
  // RFC 8785, section 3.2.3: members are ordered by UTF-16 code units, not by code points.
  it('orders members by code units', () => {
    const names = ['\u20ac', '\r', '\ufb33', '1', '\u{1f600}', '\u0080', '\u00f6'];
    const written = canonicalJson(Object.fromEntries(names.map((name) => [name, 0])));
    expect(Object.keys(JSON.parse(written) as object).toSorted()).toEqual(names.toSorted());
    const order = ['\r', '1', '\u0080', '\u00f6', '\u20ac', '\u{1f600}', '\ufb33'];
    expect(written).toBe(`{${order.map((name) => `${JSON.stringify(name)}:0`).join(',')}}`);
  });
  it('does not depend on the order things were put in, and leaves out what is not there', () => {
    expect(canonicalJson({ b: 1, a: { d: undefined, c: [] } })).toBe('{"a":{"c":[]},"b":1}');
  });
  it('refuses what JSON cannot say', () => {
    expect(() => canonicalJson({ a: Number.NaN })).toThrow(TypeError);
    expect(() => canonicalJson([undefined])).toThrow(TypeError);
  });
});
