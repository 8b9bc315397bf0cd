/** `On axis, listening window and sound power`. */
export function inWords(labels: readonly string[]): string {
  const lower = labels.map((label, index) => (index === 0 ? label : lowerFirst(label)));
  const last = lower.at(-1) ?? '';
  return lower.length < 2 ? last : `${lower.slice(0, -1).join(', ')} and ${last}`;
}

function lowerFirst(label: string): string {
  const second = label.charAt(1);
  const isWord = second !== '' && second === second.toLowerCase() && /\p{L}/u.test(second);
  return isWord ? label.charAt(0).toLowerCase() + label.slice(1) : label;
}
