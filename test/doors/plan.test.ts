import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, afterEach, describe, expect, it, vi } from 'vitest';
import { jsonErrorPosition } from '../../apps/cli/jsonErrorPosition.js';
import { main } from '../../apps/cli/plan.js';
import type { TaskPlan } from '../../libs/planning/planTasks.js';
import { checkPlan, type PlanFile } from '../../libs/planning/testing/checkPlan.js';

const root = fileURLToPath(new URL('../..', import.meta.url));
const folder = mkdtempSync(join(tmpdir(), 'sojourn-plan-'));
afterAll(() => rmSync(folder, { recursive: true }));
afterEach(() => vi.restoreAllMocks());

/** Runs the command in this process and hands back what it printed. */
async function run(...argv: string[]): Promise<{ code: number; out: string; err: string }> {
  const printed = { out: '', err: '' };
  vi.spyOn(process.stdout, 'write').mockImplementation((text) => (printed.out += String(text)) !== '');
  vi.spyOn(process.stderr, 'write').mockImplementation((text) => (printed.err += String(text)) !== '');
  const code = await main(argv);
  vi.restoreAllMocks();
  return { code, ...printed };
}

function write(name: string, content: unknown): string {
  const path = join(folder, name);
  writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content));
  return path;
}

/** Two loudspeakers, one rig, one room, two listeners; by hand: a on the rig 0-4, b 4-8, the rest as it can. */
const week: PlanFile = {
  objective: 'makespan',
  seed: 1,
  budget: { schedules: 500 },
  resources: [
    { id: 'rig', capacity: 1 },
    { id: 'room', capacity: 1 },
    { id: 'people', capacity: 2 },
  ],
  tasks: ['a', 'b'].flatMap((unit): PlanFile['tasks'] => [
    { id: `measure ${unit}`, duration: 4, needs: { rig: 1, people: 1 }, after: [] },
    { id: `hear ${unit}`, duration: 3, needs: { room: 1, people: 2 }, after: [] },
    { id: `draft ${unit}`, duration: 2, needs: { people: 1 }, after: [`measure ${unit}`, `hear ${unit}`] },
  ]),
};

describe('the planning command', () => {
  it('prints a plan that an independent check finds right, and nothing on standard error', async () => {
    const { code, out, err } = await run(write('week.json', week), '--json');
    expect([code, err]).toStrictEqual([0, '']);
    const plan = JSON.parse(out) as TaskPlan;
    expect(checkPlan(week, plan)).toEqual([]);
    // The listening takes both people for 6, the rig 8 units of one person: nothing runs beside the listening, so 6 + 8
    // at least, and the last draft 2 after that.
    expect(plan).toMatchObject({
      schema: 'sojourn.plan/1',
      problems: [],
      objective: 16,
      provenOptimal: true,
    });
  });

  it('prints a table for people', async () => {
    const { code, out } = await run(write('week.json', week));
    expect(code).toBe(0);
    expect(out).toContain('why not earlier');
    expect(out).toContain('objective 16 (proven best)');
  });

  it('gives the same plan for the same file, for a budget in milliseconds too', async () => {
    const file = write('ms.json', { ...week, budget: { milliseconds: 20 } });
    expect((await run(file, '--json')).out).toBe((await run(file, '--json')).out);
  });

  it('names every problem of a wrong file, and exits 2', async () => {
    const [first, ...rest] = week.tasks;
    const file = write('wrong.json', {
      ...week,
      tasks: [{ ...first, after: ['nobody'] }, { ...first, needs: { rig: 9 } }, ...rest],
    });
    const { code, out, err } = await run(file, '--json');
    expect(code).toBe(2);
    const plan = JSON.parse(out) as TaskPlan;
    expect(plan.problems.map(({ code: problem }) => problem).toSorted()).toEqual([
      'duplicate-id',
      'over-capacity',
      'unknown-id',
    ]);
    expect(err.trim().split('\n')).toHaveLength(3);
    expect(err).toContain(`${file}: tasks[0].after[0]: task "measure a" comes after task "nobody"`);
  });

  it.each([
    ['no file', [], 'Usage:'],
    ['an option it does not know', ['--fast', 'a.json'], 'Unknown option --fast'],
    ['a file that is not there', [join(folder, 'nowhere.json')], 'cannot be read'],
  ])('given %s exits 2 and says so', async (_, argv, words) => {
    const { code, out, err } = await run(...argv);
    expect([code, out]).toStrictEqual([2, '']);
    expect(err).toContain(words);
  });

  it('tells the line where a file is not JSON', async () => {
    const file = write('broken.json', '{\n "objective": "makespan",\n "tasks": [}\n');
    const { code, err } = await run(file);
    expect(code).toBe(2);
    expect(err).toContain(`${file}:3: this is not JSON`);
  });

  it.each([
    ['{"a":1,}', 7],
    ['{"a" 1}', 1],
    ['[1 2]', 3],
    ['[1,', 3],
    ['{"a":[tru]}', 6],
    ['"a\nb"', 0],
    ['[1]]', 3],
    [' {"a":{"b":[-1.5e3,"\\u00e9",null,{}]}} ', 39],
  ])('finds where %s stops being JSON', (text, position) => {
    expect(jsonErrorPosition(text)).toBe(position);
  });

  it('works as npm runs it', () => {
    const good = spawnSync('npm', ['run', '--silent', 'plan', '--', write('week.json', week), '--json'], {
      cwd: root,
      encoding: 'utf8',
    });
    expect(good.status).toBe(0);
    expect((JSON.parse(good.stdout) as TaskPlan).objective).toBe(16);
    const bad = spawnSync('npm', ['run', '--silent', 'plan', '--', write('bad.json', '{}')], {
      cwd: root,
      encoding: 'utf8',
    });
    expect([bad.status, bad.stdout]).toStrictEqual([2, '']);
  });
});
