/** When a result has come, say at once what its unit still lacks: the unit is still in the house. */
import { unitStates, type Change } from '../../../libs/store/index.js';

export async function tellMissingData(made: Change, computationId: string): Promise<void> {
  const units = await made.tx.unit.findMany({
    where: { sets: { some: { analyses: { some: { computationId } } } } },
    select: { id: true, name: true, loanId: true },
  });
  const states = await unitStates(made.tx, { unitIds: units.map(({ id }) => id) });
  for (const { id, name, loanId } of units) {
    const plan = states.get(id)?.plan ?? [];
    const named = (wanted: string) => plan.filter(({ state }) => state === wanted).map(({ title }) => title);
    const missing = named('missing');
    const faulty = named('faulty');
    if (missing.length + faulty.length > 0) {
      made.publish('team', 'data-missing', { loanId, unitId: id, unitName: name, missing, faulty });
    }
  }
}
