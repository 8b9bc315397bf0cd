/** What the analysis found on the data, in plain words, in the order in which somebody at the rig needs it. */
import type { AnalysisView, QualityView, Severity } from '../../../libs/contracts/index.js';
import { formatProblem, printable } from '../../../libs/measurement-files/problem.js';

const heads: Readonly<Record<Severity, string>> = {
  blocking: 'MEASURE AGAIN while the unit is on the stand:',
  check: 'Look at these before you take it down:',
  note: 'Good to know:',
};
const order: readonly Severity[] = ['blocking', 'check', 'note'];

export function sayFindings({ state, quality, problems, reason }: AnalysisView): string[] {
  if (state === 'quarantined')
    return [`The server could not analyse the set: ${reason ?? 'no reason is known'}. The files are kept.`];
  if (state === 'refused')
    return [
      'The files can’t be read as a set:',
      ...problems.map((one) => `  ${formatProblem(one as never)}`),
    ];
  const parts = order.flatMap((severity) => {
    const found = quality.filter((one) => one.severity === severity);
    return found.length === 0 ? [] : [heads[severity], ...found.map((one) => `  ${sayOne(one)}`)];
  });
  const free = !quality.some(({ severity }) => severity !== 'note');
  return [...parts, ...(free ? ['Nothing has to be measured again.'] : [])];
}

const sayOne = ({ file, message }: QualityView): string => printable(file ? `${file}: ${message}` : message);

/** 0: nothing to do; 3: something to measure again or to look at; 4: the server could not analyse it. */
export function exitCodeOf({ state, quality }: AnalysisView): 0 | 3 | 4 {
  if (state === 'quarantined') return 4;
  return state === 'refused' || quality.some(({ severity }) => severity !== 'note') ? 3 : 0;
}
