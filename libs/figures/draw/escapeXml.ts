/** Text made harmless inside SVG. */

const ESCAPES: Readonly<Record<string, string>> = {
  '&': '&amp;',
  '<': '&lt;',
  '>': '&gt;',
  '"': '&quot;',
  "'": '&#39;',
};

// What XML 1.0 forbids (control characters, lone surrogates, U+FFFE and U+FFFF), and marks that reverse or hide text.
const UNWANTED =
  // oxlint-disable-next-line no-control-regex, no-misleading-character-class
  /[\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f\u200b\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff\ufffe\uffff\p{Cs}]/gu;

/** `text` for an element or a quoted attribute: markup becomes characters, line breaks spaces, hidden marks vanish. */
export function escapeXml(text: string): string {
  return text
    .replace(UNWANTED, '')
    .replace(/[\t\n\r\u2028\u2029]+/g, ' ')
    .replace(/[&<>"']/g, (letter) => ESCAPES[letter] ?? '');
}
