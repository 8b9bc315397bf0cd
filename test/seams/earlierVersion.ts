/** An archive as an earlier version of the algorithm would have left it. */
import { computationKey, type ComputationInput } from '../../libs/store/analyses.js';
import { archiveUnits } from '../../libs/store/archive.js';
import { change, json, theHouse } from '../../libs/store/change.js';
import type { Database } from '../../libs/store/database.js';

export const EARLIER = '0.9.0';
/** What the earlier version got wrong, so that a recomputed number can be told from a kept one. */
export const EARLIER_ERROR_OHM = 1;

interface Kept {
  readonly inputs?: readonly ComputationInput[];
}

/**
 * Gives units to a loan whose sets were analysed by the earlier version: copies of a finished analysis, each with a
 * setting of its own so that no two share a computation.
 *
 * @param kept one entry per unit; other inputs than the finished analysis's, where wanted
 * @returns the units' ids, in order; the last is the newest
 */
export async function addEarlierResults(
  database: Database,
  loanId: string,
  analysisId: string,
  kept: readonly Kept[],
): Promise<string[]> {
  const { computation, set } = await database.prisma.analysis.findUniqueOrThrow({
    where: { id: analysisId },
    include: { computation: true, set: { include: { files: true } } },
  });
  const result = { ...(computation.result as object), algorithmVersion: EARLIER };
  const unitIds: string[] = [];
  for (const [index, { inputs = computation.inputs as unknown as ComputationInput[] }] of kept.entries()) {
    const settings = { ...(computation.settings as object), maximumFilters: 1, maximumBoostDb: index / 100 };
    const id = computationKey(inputs, settings, EARLIER, false);
    await change(database, theHouse, async (made) => {
      const { tx } = made;
      const unit = await tx.unit.create({ data: { loanId, name: `Unit ${index}`, kind: 'standmount' } });
      const files = set.files.map(({ name, sha256 }) => ({ name, sha256 }));
      const copy = await tx.measurementSet.create({
        data: { unitId: unit.id, name: `Set ${index}`, files: { createMany: { data: files } } },
      });
      await tx.computation.create({
        data: {
          id,
          algorithmVersion: EARLIER,
          settings: json(settings),
          inputs: json(inputs),
          state: 'done',
          progress: 1,
          result: json(result),
          summary: json(withError(computation.summary)),
          figures: json(computation.figures),
          finishedAt: new Date(),
        },
      });
      await tx.analysis.create({ data: { setId: copy.id, computationId: id } });
      await archiveUnits(made, [unit.id]);
      unitIds.push(unit.id);
    });
  }
  return unitIds;
}

function withError(summary: unknown): unknown {
  const { numbers, ...rest } = summary as { numbers: { minimumOhm: number } };
  return { ...rest, numbers: { ...numbers, minimumOhm: numbers.minimumOhm + EARLIER_ERROR_OHM } };
}
