/** A verdict as plain text, to read and to copy from. */
import type { VerdictView } from '../contracts.js';

export function asText(verdict: Pick<VerdictView, 'text' | 'pros' | 'cons'>): string {
  return [
    ...verdict.pros.map((pro) => `+ ${pro}`),
    ...verdict.cons.map((con) => `− ${con.text}${con.evidence === '' ? '' : ` (${con.evidence})`}`),
    ...(verdict.text === '' ? [] : ['', verdict.text]),
  ].join('\n');
}
