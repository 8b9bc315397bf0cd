/** Templates of work by kind of unit: the house's defaults until the team writes its own. */
import { Inject, Injectable } from '@nestjs/common';
import type { z } from 'zod';
import {
  unitKinds,
  type Binned,
  type ChangeTemplate,
  type StepTemplate,
  type TemplateView,
} from '../../../libs/contracts/index.js';
import { workTemplates } from '../../../libs/plan-keeping/index.js';
import { change, json, putInBin, StaleVersion, type Tx } from '../../../libs/store/index.js';
import type { SignedIn } from '../access/sessions.js';
import { refuse } from '../http/refusals.js';
import { CONFIG, type ServerConfig } from '../serverConfig.js';
import { tell } from './house.js';

@Injectable()
export class Templates {
  constructor(@Inject(CONFIG) private readonly config: ServerConfig) {}

  list(): Promise<TemplateView[]> {
    return viewsOf(this.config.database.prisma);
  }

  async change(kind: string, ask: z.output<typeof ChangeTemplate>, by: SignedIn): Promise<TemplateView> {
    insistOnKind(kind);
    await change(this.config.database, by, async (made) => {
      const places = await made.tx.place.findMany({ where: { retiredAt: null }, select: { id: true } });
      insistOnSense(ask.steps, new Set(places.map(({ id }) => id)));
      const row = await made.tx.workTemplate.findUnique({ where: { kind } });
      if ((row?.version ?? 0) !== ask.version) throw new StaleVersion(await viewOf(made.tx, kind));
      await made.tx.workTemplate.upsert({
        where: { kind },
        create: { kind, steps: json(ask.steps) },
        update: { steps: json(ask.steps), version: { increment: 1 } },
      });
      tell(made, 'template', kind, `changed the work on a ${kind}`);
    });
    return viewOf(this.config.database.prisma, kind);
  }

  /** @returns nothing where the defaults stood already */
  async reset(kind: string, by: SignedIn): Promise<Binned | undefined> {
    insistOnKind(kind);
    return change(this.config.database, by, async (made) => {
      if ((await made.tx.workTemplate.count({ where: { kind } })) === 0) return undefined;
      const root = { table: 'WorkTemplate', column: 'kind', value: kind } as const;
      const binned = await putInBin(made, { kind: 'template', root, title: kind, told: true });
      tell(made, 'template', kind, `put the work on a ${kind} back to the defaults`);
      return binned;
    });
  }
}

function insistOnKind(kind: string): void {
  if (!unitKinds.some((known) => known === kind)) throw refuse.notFound('kind of unit');
}

async function viewsOf(tx: Tx): Promise<TemplateView[]> {
  const [templates, own] = await Promise.all([workTemplates(tx), tx.workTemplate.findMany()]);
  return unitKinds.map((kind) => {
    const row = own.find((one) => one.kind === kind);
    const steps = (templates[kind] ?? []) as StepTemplate[];
    return { kind, steps: [...steps], isDefault: !row, version: row?.version ?? 0 };
  });
}

async function viewOf(tx: Tx, kind: string): Promise<TemplateView> {
  const view = (await viewsOf(tx)).find((one) => one.kind === kind);
  if (!view) throw refuse.notFound('kind of unit');
  return view;
}

/** What would leave the engine without an answer is refused here. */
function insistOnSense(steps: readonly StepTemplate[], places: ReadonlySet<string>): void {
  const kinds = steps.map(({ kind }) => kind);
  const twice = kinds.find((kind, at) => kinds.indexOf(kind) !== at);
  if (twice)
    throw refuse.wrong('step-twice', `“${twice}” is there twice.`, 'Give each step a kind of its own.');
  for (const { label, place, after } of steps) {
    if (place !== undefined && !places.has(place))
      throw refuse.wrong('no-such-place', `“${label}” wants the place “${place}”, which is not there.`);
    const unknown = after.find((kind) => !kinds.includes(kind));
    if (unknown)
      throw refuse.wrong('no-such-step', `“${label}” waits for “${unknown}”, which is no step here.`);
  }
  const circle = inCircle(steps);
  if (circle)
    throw refuse.wrong('steps-in-a-circle', `“${circle.label}” waits for itself, by way of others.`);
}

function inCircle(steps: readonly StepTemplate[]): StepTemplate | undefined {
  const waitsFor = (kind: string, seen: Set<string>): Set<string> => {
    for (const before of steps.find((step) => step.kind === kind)?.after ?? []) {
      if (seen.has(before)) continue;
      seen.add(before);
      waitsFor(before, seen);
    }
    return seen;
  };
  return steps.find(({ kind }) => waitsFor(kind, new Set()).has(kind));
}
