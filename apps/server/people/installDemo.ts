/** An installation of the invented team, asked for at the first start. */
import { DEMO_PASSWORD } from '../../../libs/contracts/index.js';
import type { Database } from '../../../libs/store/index.js';
import { demoTeam } from '../../../seed/scenario/team.js';
import { install } from './installing.js';

export async function installDemo(database: Database): Promise<void> {
  const owner = demoTeam.people.find(({ role }) => role === 'owner');
  if (!owner) throw new Error('The demo’s team has no owner.');
  await install(database, {
    teamName: demoTeam.name,
    timeZone: demoTeam.timeZone,
    name: owner.name,
    email: owner.email,
    password: DEMO_PASSWORD,
    demo: true,
  });
}
