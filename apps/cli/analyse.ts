import { formatProblem, problem, type Problem } from '../../libs/measurement-files/problem.js';
import { openMeasurementPath } from '../../libs/measurement-files/openMeasurementPath.js';
import { readMeasurementSet } from '../../libs/measurement-files/readMeasurementSet.js';
import { ANALYSE_HELP, parseAnalyseArguments, type AnalyseRequest } from './analysis/analyseArguments.js';

/** Bad input: what is wrong has been said on standard error. */
const BAD_INPUT = 2;

/**
 * The `analyse` command: reads a folder, archive, SOFA file or single file, analyses it with the code the
 * server's workers run, and prints the result (`--json`) or a bench sheet. Answers the exit code: 0, or 2 when
 * the arguments or the files are no good; then every fault stands on standard error as
 * `FILE[:LINE]: what is wrong. What to do.`
 */
export async function main(argv: readonly string[]): Promise<number> {
  const request = parseAnalyseArguments(argv);
  if (request === 'help') {
    process.stdout.write(`${ANALYSE_HELP}\n`);
    return 0;
  }
  if ('problems' in request) return refuse(request.problems, argv.includes('--json'));
  const { entries, problems: unreadable } = await openMeasurementPath(request.path);
  if (unreadable.length > 0) return refuse(unreadable, request.json);
  const { set, problems } = await readMeasurementSet(entries, undefined, request.defaults);
  if (set === undefined) return refuse(problems, request.json);
  const { analyse } = await import('../../libs/acoustics/analyse.js');
  const result = analyse(set, request.settings);
  const failed = await writeFiles(request, set, result);
  if (failed !== undefined) return refuse([failed], request.json);
  if (request.json) process.stdout.write(`${JSON.stringify(result)}\n`);
  else {
    const { benchSheet } = await import('./analysis/benchSheet.js');
    process.stdout.write(benchSheet(request.path, set, result));
  }
  return 0;
}

type Written = typeof import('./analysis/writeAnalysis.js');

async function writeFiles(
  { out }: AnalyseRequest,
  ...measured: [Parameters<Written['writeAnalysis']>[1], Parameters<Written['writeAnalysis']>[2]]
): Promise<Problem | undefined> {
  if (out === undefined) return undefined;
  // Drawing is only loaded when it is asked for.
  const { writeAnalysis }: Written = await import('./analysis/writeAnalysis.js');
  try {
    await writeAnalysis(out, ...measured);
    return undefined;
  } catch (cause) {
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : undefined;
    if (code === undefined) throw cause;
    const message = `The results can't be written there (${code}).`;
    return problem(
      out,
      undefined,
      'not-writable',
      message,
      'Give a folder that can be written to after --out.',
    );
  }
}

function refuse(problems: readonly Problem[], json: boolean): number {
  for (const found of problems) process.stderr.write(`${formatProblem(found)}\n`);
  if (json) process.stdout.write(`${JSON.stringify({ schema: 'sojourn.analysis/1', problems })}\n`);
  return BAD_INPUT;
}
