/**
 * JSON in exactly one way, so that a hash over it can be taken again by anybody: RFC 8785 (JSON Canonicalization
 * Scheme). Members sorted by UTF-16 code units, no spaces, numbers and strings as ECMAScript writes them.
 *
 * @throws TypeError for what JSON cannot say (NaN, Infinity, undefined, functions)
 */
export function canonicalJson(value: unknown): string {
  if (value === null || typeof value === 'boolean' || typeof value === 'string') return JSON.stringify(value);
  if (typeof value === 'number') {
    if (!Number.isFinite(value)) throw new TypeError(`${value} cannot be written as JSON.`);
    return JSON.stringify(value);
  }
  if (Array.isArray(value)) return `[${value.map(canonicalJson).join(',')}]`;
  if (typeof value !== 'object') throw new TypeError(`A ${typeof value} cannot be written as JSON.`);
  const members = Object.entries(value)
    .filter(([, member]) => member !== undefined)
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([name, member]) => `${JSON.stringify(name)}:${canonicalJson(member)}`);
  return `{${members.join(',')}}`;
}
