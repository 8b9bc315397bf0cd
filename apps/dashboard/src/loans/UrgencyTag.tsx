/** Late and at risk stand out; the rest is calm. */
import type { Urgency } from '../contracts.js';

export function UrgencyTag({ urgency }: { urgency: Urgency }) {
  if (urgency === 'late') return <span className="tag tag-late">late</span>;
  if (urgency === 'at-risk') return <span className="tag tag-risk">at risk</span>;
  return null;
}
