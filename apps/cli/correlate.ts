import { readFile } from 'node:fs/promises';
import { z } from 'zod';
import { correlate, type Correlation } from '../../libs/evidence/index.js';
import { jsonErrorPosition } from './jsonErrorPosition.js';

const usage = `Usage: npm run --silent correlate -- ANALYSIS.json REMARKS.json [--json]

Matches what was heard (a list of remarks) with what was measured (the findings of an analysis).`;

const frequency = z.number().positive('a frequency is above 0 Hz').max(100_000, 'no such frequency is heard');
const Remarks = z
  .array(
    z
      .object({
        id: z.string().min(1, 'every remark has an id'),
        text: z.string(),
        sign: z.enum(['excess', 'lack', 'neutral'], 'the sign is "excess", "lack" or "neutral"'),
        fromHz: frequency.optional(),
        toHz: frequency.optional(),
        descriptor: z.string().optional(),
        severity: z.number().min(1, 'severity is 1 to 5').max(5, 'severity is 1 to 5'),
        position: z.string().optional(),
      })
      .refine(
        ({ fromHz, toHz }) => fromHz === undefined || toHz === undefined || fromHz < toHz,
        'fromHz is below toHz',
      ),
  )
  .refine(
    (remarks) => new Set(remarks.map(({ id }) => id)).size === remarks.length,
    'two remarks have the same id',
  );

const Analysis = z.object({
  schema: z.literal('sojourn.analysis/1', 'this is not an analysis: its schema is "sojourn.analysis/1"'),
  findings: z
    .array(
      z.object({
        kind: z.string(),
        fromHz: frequency,
        toHz: frequency,
        centreHz: frequency,
        levelDb: z.number().optional(),
        q: z.number().optional(),
        curve: z.string().optional(),
        correctable: z.boolean().optional(),
        why: z.string().optional(),
      }),
    )
    .default([]),
});

interface Problem {
  readonly file: string;
  readonly line?: number;
  readonly code: string;
  readonly message: string;
  readonly remedy: string;
}

/**
 * The evidence command: an analysis and a list of remarks in, what belongs together out.
 *
 * @param argv the arguments after the command's name
 * @returns exit code: 0 with a correlation, 2 when an input is wrong; problems go to standard error, and with
 *   `--json` also into the object on standard output
 */
export async function main(argv: readonly string[]): Promise<number> {
  const asJson = argv.includes('--json');
  const files = argv.filter((argument) => !argument.startsWith('--'));
  const unknown = argv.filter(
    (argument) => argument.startsWith('--') && !['--json', '--help'].includes(argument),
  );
  if (argv.includes('--help')) {
    process.stdout.write(`${usage}\n`);
    return 0;
  }
  const [analysisFile, remarksFile] = files;
  if (analysisFile === undefined || remarksFile === undefined || files.length > 2 || unknown.length > 0) {
    process.stderr.write(`${unknown.length > 0 ? `Unknown option ${unknown[0]}.\n` : ''}${usage}\n`);
    return 2;
  }
  const problems: Problem[] = [];
  const analysis = await readJson(analysisFile, Analysis, problems);
  const remarks = await readJson(remarksFile, Remarks, problems);
  if (!analysis || !remarks) {
    for (const { file, line, message, remedy } of problems) {
      process.stderr.write(`${file}${line === undefined ? '' : `:${line}`}: ${message} ${remedy}\n`);
    }
    if (asJson) process.stdout.write(`${JSON.stringify({ schema: 'sojourn.correlation/1', problems })}\n`);
    return 2;
  }
  const correlation = correlate(analysis.findings, remarks);
  process.stdout.write(asJson ? `${JSON.stringify(correlation)}\n` : sayCorrelation(correlation));
  return 0;
}

async function readJson<T>(file: string, schema: z.ZodType<T>, problems: Problem[]): Promise<T | undefined> {
  let text: string;
  try {
    text = (await readFile(file, 'utf8')).replace(/^\uFEFF/, '');
  } catch (error) {
    const why = (error as NodeJS.ErrnoException).code ?? 'unknown reason';
    problems.push({
      file,
      code: 'unreadable',
      message: `It cannot be read (${why}).`,
      remedy: 'Check the name.',
    });
    return undefined;
  }
  let value: unknown;
  try {
    value = JSON.parse(text);
  } catch {
    // JSON.parse does not say where in a way that can be relied on.
    const line = text.slice(0, jsonErrorPosition(text)).split('\n').length;
    const remedy = 'Look for a missing comma, quote or bracket here or just above.';
    problems.push({ file, line, code: 'malformed', message: 'This is not JSON.', remedy });
    return undefined;
  }
  const read = schema.safeParse(value);
  if (read.success) return read.data;
  for (const { path, message } of read.error.issues.slice(0, 20)) {
    const where = path.length > 0 ? `At ${path.map(String).join('.')}: ` : '';
    problems.push({
      file,
      code: 'invalid',
      message: `${where}${message}.`,
      remedy: 'Correct it and try again.',
    });
  }
  return undefined;
}

function sayCorrelation({ pairs, heardOnly, measuredOnly }: Correlation): string {
  const part = (title: string, lines: readonly string[]) =>
    lines.length === 0 ? '' : `${title}\n${lines.map((line) => `  ${line}\n`).join('')}\n`;
  return (
    part(
      'Heard and measured',
      pairs.map(
        ({ remarkId, findingIndex, score, reason }) =>
          `${remarkId} + finding ${findingIndex} (${score.toFixed(2)}): ${reason}`,
      ),
    ) +
    part(
      'Heard only',
      heardOnly.map(({ remarkId, likelyCause, reason }) => `${remarkId} (${likelyCause}): ${reason}`),
    ) +
    part(
      'Measured only',
      measuredOnly.map(({ findingIndex, reason }) => `finding ${findingIndex}: ${reason}`),
    )
  );
}
