import { readFile } from 'node:fs/promises';
import { jsonErrorPosition } from './jsonErrorPosition.js';
import { planSchema, planTasks, type TaskPlan } from '../../libs/planning/planTasks.js';

const usage = `Usage: npm run --silent plan -- FILE.json [--json]

Schedules the tasks of a file on the resources it lists: see "Planning from a file" in the README.`;

/**
 * The planning command: FILE.json in, a plan out.
 *
 * @param argv the arguments after the command's name
 * @returns exit code: 0 with a plan, 2 when the input is wrong or has no plan; problems go to standard error, and with
 *   `--json` also into the object on standard output
 */
export async function main(argv: readonly string[]): Promise<number> {
  const asJson = argv.includes('--json');
  const files = argv.filter((argument) => !argument.startsWith('--'));
  const unknown = argv.filter(
    (argument) => argument.startsWith('--') && argument !== '--json' && argument !== '--help',
  );
  if (argv.includes('--help')) {
    process.stdout.write(`${usage}\n`);
    return 0;
  }
  const [file] = files;
  if (file === undefined || files.length > 1 || unknown.length > 0) {
    process.stderr.write(`${unknown.length > 0 ? `Unknown option ${unknown[0]}.\n` : ''}${usage}\n`);
    return 2;
  }
  const plan = await planFile(file);
  for (const { where, message } of plan.problems) {
    const line = /^line (\d+)$/.exec(where)?.[1];
    process.stderr.write(line ? `${file}:${line}: ${message}\n` : `${file}: ${where}: ${message}\n`);
  }
  if (asJson) process.stdout.write(`${JSON.stringify(plan)}\n`);
  else if (plan.problems.length === 0) process.stdout.write(table(plan));
  return plan.problems.length > 0 ? 2 : 0;
}

async function planFile(file: string): Promise<TaskPlan> {
  let text: string;
  try {
    text = (await readFile(file, 'utf8')).replace(/^\uFEFF/, '');
  } catch (error) {
    return refused('unreadable', 'file', `cannot be read (${reasonFor(error)}); check the name`);
  }
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    const line = text.slice(0, jsonErrorPosition(text)).split('\n').length;
    const message = 'this is not JSON; look for a missing comma, quote or bracket here or just above';
    return refused('malformed', `line ${line}`, message);
  }
  return planTasks(value);
}

function refused(code: string, where: string, message: string): TaskPlan {
  const problems = [{ code, where, message }];
  const nothing = { objective: null, lowerBound: null, provenOptimal: false, schedulesTried: 0, tasks: [] };
  return { schema: planSchema, ...nothing, problems };
}

function reasonFor(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

function table({ tasks, objective, lowerBound, provenOptimal, schedulesTried }: TaskPlan): string {
  const head = ['task', 'start', 'finish', 'latest start', 'slack', 'why not earlier'];
  const rows = tasks
    .toSorted((a, b) => a.start - b.start)
    .map((task) => [
      task.id,
      `${task.start}`,
      `${task.finish}`,
      `${task.latestStart}`,
      `${task.slack}`,
      task.bindingConstraint,
    ]);
  const widths = head.map((_, column) => Math.max(...[head, ...rows].map((row) => row[column].length)));
  const lines = [head, ...rows].map((row) =>
    row
      .map((cell, column) =>
        column === 0 || column === 5 ? cell.padEnd(widths[column]) : cell.padStart(widths[column]),
      )
      .join('  ')
      .trimEnd(),
  );
  const proof = provenOptimal ? 'proven best' : `no plan is below ${lowerBound}`;
  return `${lines.join('\n')}\n\nobjective ${objective} (${proof}), ${schedulesTried} schedules tried\n`;
}
