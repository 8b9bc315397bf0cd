import { parseArgs } from 'node:util';
import type { AnalysisSettings } from '../../../libs/acoustics/analysis.js';
import type { StatedDefaults } from '../../../libs/measurement-files/planFiles.js';
import { problem, type Problem } from '../../../libs/measurement-files/problem.js';

export interface AnalyseRequest {
  readonly path: string;
  readonly json: boolean;
  /** Folder for figures and tables. */
  readonly out?: string;
  readonly settings: Partial<AnalysisSettings>;
  readonly defaults: StatedDefaults;
}

export const ANALYSE_HELP = `Usage: npm run --silent analyse -- PATH [options]

Analyses a loudspeaker's measurements. PATH is a folder, a ZIP archive, a .sofa file or one file.

  --json                     print the result as one JSON object instead of a bench sheet
  --out DIR                  also write figures (SVG), their data and the equaliser's filters (CSV) and
                             analysis.json into DIR
  --level-db N               level of distortion, multitone and compression files that state none,
                             dB SPL at 1 m
  --early-reflections WHICH  five-group-mean (the default) or all-curves-mean
  --rear-wall WHICH          nineteen curves (the default) or three: +-90 and 180 degrees
  --max-filters N            at most N equaliser filters, 0 to 20 (6)
  --rated-ohm N              the impedance the maker states
  --help                     print this

Files are named h+030.csv, "V -10.csv", h330.wav, impedance.csv, distortion_86db.csv and so on, or listed in
manifest.json. Exit code 0: analysed; 2: bad input, named on standard error with file, line and remedy.`;

const OPTIONS = {
  json: { type: 'boolean', default: false },
  out: { type: 'string' },
  'level-db': { type: 'string' },
  'early-reflections': { type: 'string' },
  'rear-wall': { type: 'string' },
  'max-filters': { type: 'string' },
  'rated-ohm': { type: 'string' },
  help: { type: 'boolean', default: false },
} as const;

const EARLY_REFLECTIONS: readonly AnalysisSettings['earlyReflections'][] = [
  'five-group-mean',
  'all-curves-mean',
];
const REAR_WALLS: readonly AnalysisSettings['rearWall'][] = ['nineteen', 'three'];

/** The command line as a request, `help`, or everything that is wrong with it. */
export function parseAnalyseArguments(
  argv: readonly string[],
): AnalyseRequest | 'help' | { readonly problems: readonly Problem[] } {
  try {
    const { values, positionals } = parseArgs({ args: [...argv], allowPositionals: true, options: OPTIONS });
    if (values.help) return 'help';
    const problems: Problem[] = [];
    const number = numberReader(values, problems);
    const settings = {
      ...defined('earlyReflections', choice('early-reflections', values, EARLY_REFLECTIONS, problems)),
      ...defined('rearWall', choice('rear-wall', values, REAR_WALLS, problems)),
      ...defined('maximumFilters', number('max-filters', 0, 20, true)),
    };
    const defaults = {
      ...defined('levelDb', number('level-db', 0, 200)),
      ...defined('ratedOhm', number('rated-ohm', 0.1, 1000)),
    };
    const [path, ...more] = positionals;
    if (path === undefined)
      problems.push(fault('No path is given.', 'Give a folder, a ZIP archive or a file.'));
    if (more.length > 0)
      problems.push(fault(`More than one path is given: ${positionals.join(', ')}.`, 'Give one at a time.'));
    if (path === undefined || problems.length > 0) return { problems };
    return { path, json: values.json, ...defined('out', values.out), settings, defaults };
  } catch (cause) {
    if (!(cause instanceof TypeError) || !('code' in cause)) throw cause;
    return { problems: [fault(`${cause.message.split(/\n|\. /)[0].replace(/\.$/, '')}.`, 'See --help.')] };
  }
}

function fault(message: string, remedy: string): Problem {
  return problem('analyse', undefined, 'argument', message, remedy);
}

function defined<K extends string, V>(key: K, value: V | undefined): { [P in K]?: V } {
  return value === undefined ? {} : ({ [key]: value } as { [P in K]?: V });
}

type Values = Readonly<Record<string, string | boolean | undefined>>;

function numberReader(values: Values, problems: Problem[]) {
  return (name: string, low: number, high: number, whole = false): number | undefined => {
    const text = values[name];
    if (typeof text !== 'string') return undefined;
    const value = text.trim() === '' ? NaN : Number(text);
    if (value >= low && value <= high && (!whole || Number.isInteger(value))) return value;
    const kind = whole ? 'a whole number' : 'a number';
    problems.push(fault(`--${name} must be ${kind} from ${low} to ${high}, not "${text}".`, 'See --help.'));
    return undefined;
  };
}

function choice<T extends string>(
  name: string,
  values: Values,
  allowed: readonly T[],
  problems: Problem[],
): T | undefined {
  const text = values[name];
  if (typeof text !== 'string') return undefined;
  const chosen = allowed.find((value) => value === text);
  if (chosen === undefined) {
    problems.push(fault(`--${name} must be ${allowed.join(' or ')}, not "${text}".`, 'See --help.'));
  }
  return chosen;
}
