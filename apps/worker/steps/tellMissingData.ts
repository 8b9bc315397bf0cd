/** When a result has come, say at once what its unit still lacks: the unit is still in the house. */
import { unitStates, type Change } from '../../../libs/store/index.js';

export async function tellMissingData(made: Change, computationId: string): Promise<void> {
  const states = await unitStates(made.tx, { computationId });
  for (const { loanId, plan, facts } of states.values()) {
    const named = (wanted: string) => plan.filter(({ state }) => state === wanted).map(({ title }) => title);
    const missing = named('missing');
    const faulty = named('faulty');
    if (missing.length + faulty.length > 0) {
      made.publish('team', 'data-missing', {
        loanId,
        unitId: facts.id,
        unitName: facts.name,
        missing,
        faulty,
      });
    }
  }
}
