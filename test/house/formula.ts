/**
 * Reckons a formula of names, numbers, `+ - * /` and brackets.
 *
 * @throws Error for a name that is not known, or what is no formula
 */
export function evaluate(formula: string, known: ReadonlyMap<string, number>): number {
  const words = formula.match(/[A-Za-z]\w*|\d+(?:\.\d+)?(?:e\d+)?|\S/g) ?? [];
  let at = 0;

  function sum(): number {
    let value = product();
    while (words[at] === '+' || words[at] === '-')
      value = words[at++] === '+' ? value + product() : value - product();
    return value;
  }

  function product(): number {
    let value = factor();
    while (words[at] === '*' || words[at] === '/')
      value = words[at++] === '*' ? value * factor() : value / factor();
    return value;
  }

  function factor(): number {
    const word = words[at++] ?? '';
    if (word === '(') {
      const value = sum();
      if (words[at++] !== ')') throw new Error(`A bracket is not closed in ${formula}`);
      return value;
    }
    const value = known.get(word) ?? (/^\d/.test(word) ? Number(word) : undefined);
    if (value === undefined) throw new Error(`${word} is not known in ${formula}`);
    return value;
  }

  const value = sum();
  if (at < words.length) throw new Error(`${words[at]} is too much in ${formula}`);
  return value;
}
