/** What people are told when a file could not be read within the limits. */
import { problem, type Problem } from '../measurement-files/problem.js';
import type { ReadingStopped } from './limitedProcess.js';

/** @param whole what it was in, when not even one file of it was begun */
export function stoppedProblem({ cause, file }: ReadingStopped, whole: string): Problem {
  const message =
    cause === 'too-long'
      ? 'Reading it took longer than any measurement should, so it was given up.'
      : 'Reading it took more memory than any measurement should, or broke the reader.';
  const remedy = 'Look whether the file is what you meant to send; export it anew, or leave it out.';
  return problem(file ?? whole, undefined, 'not-readable', message, remedy);
}
