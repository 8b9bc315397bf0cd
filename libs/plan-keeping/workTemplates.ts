/** The team's templates of work: its own where it wrote one, else those of the engine. */
import { defaultTemplates, type StepTemplate, type WorkTemplates } from '../planning/planLoans.js';
import type { Tx } from '../store/index.js';

export async function workTemplates(tx: Tx): Promise<WorkTemplates> {
  const own = await tx.workTemplate.findMany({ orderBy: { kind: 'asc' } });
  return {
    ...defaultTemplates,
    ...Object.fromEntries(own.map(({ kind, steps }) => [kind, steps as unknown as readonly StepTemplate[]])),
  };
}

export const templateOf = (templates: WorkTemplates, kind: string): readonly StepTemplate[] =>
  templates[kind] ?? templates['other'] ?? [];

/** What a kind of step is called in every house: names neither unit nor loan. */
export const neutralStepLabel = (kind: string): string =>
  Object.values(defaultTemplates)
    .flat()
    .find((step) => step.kind === kind)?.label ?? 'Work';

/** The template of a step of a loan, from the first of its units whose kind has it. */
export function stepTemplate(
  templates: WorkTemplates,
  units: readonly { readonly kind: string }[],
  kind: string,
): StepTemplate | undefined {
  return units.flatMap((unit) => templateOf(templates, unit.kind)).find((step) => step.kind === kind);
}
