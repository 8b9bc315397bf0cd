/**
 * The 1-based line on which the value at `path` begins in a JSON text that is known to be well-formed.
 * Falls back to the nearest parent that exists.
 *
 * @example lineOfJsonPath('{\n "a": [1,\n 2]}', ['a', 1]) // 3
 */
export function lineOfJsonPath(text: string, path: readonly PropertyKey[]): number {
  let at = skipBlank(text, 0);
  for (const key of path) {
    const child = typeof key === 'number' ? findItem(text, at, key) : findMember(text, at, String(key));
    if (child === undefined) break;
    at = child;
  }
  let line = 1;
  for (let next = text.indexOf('\n'); next >= 0 && next < at; next = text.indexOf('\n', next + 1)) line += 1;
  return line;
}

function findItem(text: string, start: number, index: number): number | undefined {
  if (text[start] !== '[') return undefined;
  let at = skipBlank(text, start + 1);
  for (let item = 0; text[at] !== ']' && at < text.length; item += 1) {
    if (item === index) return at;
    at = skipComma(text, skipValue(text, at));
  }
  return undefined;
}

function findMember(text: string, start: number, key: string): number | undefined {
  if (text[start] !== '{') return undefined;
  let at = skipBlank(text, start + 1);
  let found: number | undefined;
  while (text[at] === '"') {
    const end = skipValue(text, at);
    const value = skipBlank(text, text.indexOf(':', end) + 1);
    // The last of two equal keys is the one that counts.
    if (JSON.parse(text.slice(at, end)) === key) found = value;
    at = skipComma(text, skipValue(text, value));
  }
  return found;
}

/** The place just after the value that begins at `start`. */
function skipValue(text: string, start: number): number {
  const first = text[start];
  if (first === '"') return skipString(text, start);
  if (first !== '{' && first !== '[') {
    let at = start;
    while (at < text.length && !/[\s,\]}]/.test(text[at])) at += 1;
    return at;
  }
  let depth = 0;
  for (let at = start; at < text.length; at += 1) {
    const c = text[at];
    if (c === '"') at = skipString(text, at) - 1;
    else if (c === '{' || c === '[') depth += 1;
    else if (c === '}' || c === ']') {
      depth -= 1;
      if (depth === 0) return at + 1;
    }
  }
  return text.length;
}

function skipString(text: string, start: number): number {
  let at = start + 1;
  while (at < text.length && text[at] !== '"') at += text[at] === '\\' ? 2 : 1;
  return at + 1;
}

function skipBlank(text: string, start: number): number {
  let at = start;
  while (at < text.length && /\s/.test(text[at])) at += 1;
  return at;
}

function skipComma(text: string, start: number): number {
  const at = skipBlank(text, start);
  return text[at] === ',' ? skipBlank(text, at + 1) : at;
}
