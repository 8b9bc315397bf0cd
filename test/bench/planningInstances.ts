/** Published scheduling instances as planning files. The data is not part of the product: it is read where it lies. */
import { existsSync, readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import type { PlanFile } from '../../libs/planning/testing/checkPlan.js';

/** A planning file whose best objective is known. */
export interface KnownInstance {
  readonly name: string;
  readonly file: PlanFile;
  readonly optimum: number;
}

const PROJECTS = 'j30';
const SINGLE_MACHINE = path.join('wt40', 'first-60.json');

/** The folder named by SOJOURN_BENCHMARKS, else a `benchmarks` folder in or beside a parent's folders; null if none. */
export function findBenchmarks(from = process.cwd()): string | null {
  const named = process.env.SOJOURN_BENCHMARKS;
  if (named) return existsSync(path.join(named, PROJECTS)) ? named : null;
  const parent = path.dirname(from);
  const siblings = readdirSync(parent, { withFileTypes: true }).filter((entry) => entry.isDirectory());
  const places = [parent, ...siblings.map(({ name }) => path.join(parent, name))].map((place) =>
    path.join(place, 'benchmarks'),
  );
  return places.find((place) => existsSync(path.join(place, PROJECTS))) ?? null;
}

/** Single-machine weighted tardiness (OR-Library, J. E. Beasley): lengths, weights, due dates, optimum. */
export function readSingleMachine(folder: string): KnownInstance[] {
  const list = JSON.parse(readFileSync(path.join(folder, SINGLE_MACHINE), 'utf8')) as readonly {
    readonly name: string;
    readonly p: readonly number[];
    readonly w: readonly number[];
    readonly d: readonly number[];
    readonly optimum: number;
  }[];
  return list.map(({ name, p, w, d, optimum }) => ({
    name,
    optimum,
    file: {
      objective: 'weightedTardiness',
      seed: 1,
      resources: [{ id: 'machine', capacity: 1 }],
      tasks: p.map((duration, job) => ({
        id: `job ${job + 1}`,
        duration,
        needs: { machine: 1 },
        after: [],
        due: d[job],
        weight: w[job],
      })),
    },
  }));
}

/** Resource-constrained projects (PSPLIB, Kolisch and Sprecher 1996) with their proven makespans. */
export function readProjects(folder: string): KnownInstance[] {
  const table = readFileSync(path.join(folder, PROJECTS, 'optimum.csv'), 'utf8')
    .trim()
    .split('\n')
    .slice(1);
  return table.map((line) => {
    const [name, optimum] = line.split(',');
    const text = readFileSync(path.join(folder, PROJECTS, name), 'utf8');
    return { name, optimum: Number(optimum), file: projectFile(text) };
  });
}

/** The text sections of a project: precedence, requests and durations, availabilities. */
export function projectFile(text: string): PlanFile {
  const successors = numbers(text, 'PRECEDENCE RELATIONS');
  const requests = numbers(text, 'REQUESTS/DURATIONS');
  const [capacities] = numbers(text, 'RESOURCEAVAILABILITIES');
  const resources = capacities.map((capacity, index) => ({ id: `R${index + 1}`, capacity }));
  const after = new Map(requests.map(([job]) => [job, new Set<string>()]));
  for (const [job, , , ...next] of successors) for (const later of next) after.get(later)?.add(String(job));
  const tasks = requests.map(([job, , duration, ...units]) => ({
    id: String(job),
    duration,
    needs: Object.fromEntries(resources.map(({ id }, index) => [id, units[index]])),
    after: [...(after.get(job) ?? [])],
  }));
  return { objective: 'makespan', seed: 1, resources, tasks };
}

/** The lines of a section that hold nothing but numbers. */
function numbers(text: string, section: string): number[][] {
  const lines = text.slice(text.indexOf(section)).split(/\r?\n/).slice(1);
  const end = lines.findIndex((line) => line.startsWith('***'));
  return (end < 0 ? lines : lines.slice(0, end))
    .filter((line) => /^[\s\d]+$/.test(line) && line.trim() !== '')
    .map((line) => line.trim().split(/\s+/).map(Number));
}
