/** What units are called on one figure: as short as tells them apart. */

interface Named {
  readonly unitName: string;
  readonly makerName: string;
  readonly loanTitle: string;
  readonly serial: string;
}

const forms: readonly ((unit: Named) => string)[] = [
  ({ unitName }) => unitName,
  ({ makerName, unitName }) => `${makerName} ${unitName}`,
  ({ makerName, unitName, loanTitle }) => `${makerName} ${unitName} (${loanTitle})`,
  ({ makerName, unitName, loanTitle, serial }) =>
    `${makerName} ${unitName} (${[loanTitle, serial].filter((part) => part !== '').join(', ')})`,
];

/** The first form in which no two are alike; when none does, the last, numbered. */
export function labelsOf(units: readonly Named[]): string[] {
  for (const form of forms) {
    const labels = units.map(form);
    if (new Set(labels).size === labels.length) return labels;
  }
  return units.map((unit, index) => `${forms.at(-1)?.(unit) ?? ''} ${index + 1}`);
}
