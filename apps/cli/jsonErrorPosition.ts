const space = /[ \t\r\n]*/y;
const scalar =
  /"(?:[^"\\\n\r\t]|\\(?:["\\/bfnrt]|u[\dA-Fa-f]{4}))*"|-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?|true|false|null/y;
const key = /"(?:[^"\\\n\r\t]|\\(?:["\\/bfnrt]|u[\dA-Fa-f]{4}))*"[ \t\r\n]*:/y;

/** Characters into a text at which it stops being JSON (RFC 8259); its length when it ends too soon or is right. */
export function jsonErrorPosition(text: string): number {
  const closers: ('}' | ']')[] = [];
  let at = 0;
  let expectsValue = true;
  const skip = (pattern: RegExp): boolean => {
    pattern.lastIndex = at;
    const found = pattern.exec(text);
    at += found?.[0].length ?? 0;
    return found !== null;
  };
  for (skip(space); at < text.length; skip(space)) {
    const opening = text[at];
    const closer = closers.at(-1);
    if (expectsValue && (opening === '{' || opening === '[')) {
      at += 1;
      closers.push(opening === '{' ? '}' : ']');
      skip(space);
      if (text[at] === closers.at(-1)) expectsValue = false;
      else if (opening === '{' && !skip(key)) return at;
    } else if (expectsValue) {
      if (!skip(scalar)) return at;
      expectsValue = false;
    } else if (closer !== undefined && text[at] === closer) {
      at += 1;
      closers.pop();
    } else if (closer !== undefined && text[at] === ',') {
      at += 1;
      skip(space);
      if (closer === '}' && !skip(key)) return at;
      expectsValue = true;
    } else {
      return at;
    }
  }
  return text.length;
}
