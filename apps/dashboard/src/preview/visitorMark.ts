/** A random mark of this browser, so that a visitor has one vote and finds their comments again. Nobody else reads it. */
const NAME = 'sojourn-preview-visitor';
let here: string | undefined;

export function visitorMark(): string {
  here ??= kept() ?? fresh();
  return here;
}

function kept(): string | null {
  try {
    return localStorage.getItem(NAME);
  } catch (error) {
    console.info('This browser keeps nothing:', error);
    return null;
  }
}

function fresh(): string {
  const mark = [...crypto.getRandomValues(new Uint8Array(16))]
    .map((byte) => byte.toString(16).padStart(2, '0'))
    .join('');
  try {
    localStorage.setItem(NAME, mark);
  } catch (error) {
    console.info('This browser keeps nothing:', error);
  }
  return mark;
}
