/** The invented team has a plan in force too: accepted once, when its loans are in and its sets are analysed. */
import { statesAtWork } from '../../../libs/contracts/index.js';
import { acceptProposal, makeProposal, ProposalOutdated } from '../../../libs/plan-keeping/index.js';
import { theHouse, type Database } from '../../../libs/store/index.js';
import { demoScenario } from '../../../seed/scenario.js';

export async function acceptDemoPlan(database: Database, now: Date): Promise<boolean> {
  const { prisma } = database;
  const [installation, state] = await Promise.all([
    prisma.installation.findUnique({ where: { id: 1 } }),
    prisma.planState.findUniqueOrThrow({ where: { id: 1 } }),
  ]);
  if (!installation?.invented || state.version > 0) return false;
  const [loaded, atWork] = await Promise.all([
    prisma.appliedEffect.count({ where: { key: { startsWith: 'demo:loan:' } } }),
    prisma.computation.count({ where: { state: { in: [...statesAtWork] } } }),
  ]);
  const { loans } = demoScenario({ seed: 1, today: now.toISOString().slice(0, 10) });
  if (loaded < loans.length || atWork > 0) return false;
  const proposal = await makeProposal(database, theHouse, now);
  try {
    await acceptProposal(database, theHouse, proposal.id, proposal.version, now);
    return true;
  } catch (error) {
    // Something happened in between, or another worker was first: it is looked at again soon.
    if (error instanceof ProposalOutdated) return false;
    throw error;
  }
}
