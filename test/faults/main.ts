/**
 * `npm run faults`: proves against real processes, from the outside, that an accepted action is never lost, jobs run at
 * least once and effects apply once: under seeded faults, under many kills in a row, and through a backup under load.
 */
import { processBackEnds as backEnds, type BackEnd } from '../seams/installation.js';
import { proveBackup } from './backupProof.js';
import { campaign } from './campaign.js';
import { killOver } from './kills.js';

const USAGE = `npm run faults -- [--runs 200 | --kills 50 | --backup yes] [--seed 1]
                  [--only embedded|redis-and-postgres] [--fault NAME]

  --runs N      faults at random, each followed by the time until a write is accepted again
  --kills N     the server killed N times under load, each start within 15 s
  --backup yes  a backup under load, restored into an empty home, compared row by row and file by file`;

const KNOWN = ['--runs', '--kills', '--backup', '--seed', '--only', '--fault'];

/** @returns exit code: 0 when the promise was kept, 1 when it was not, 2 for arguments it does not know */
export async function main(argv: readonly string[]): Promise<number> {
  const given = new Map<string, string>();
  for (let at = 0; at < argv.length; at += 2) given.set(argv[at] ?? '', argv[at + 1] ?? '');
  const number = (name: string, otherwise: number): number => Number(given.get(name) ?? otherwise);
  const only = given.get('--only');
  const chosen = backEnds.filter((backEnd) => only === undefined || backEnd === only);
  const numbers = [number('--runs', 200), number('--kills', 1), number('--seed', 1)];
  const isKnown = [...given.keys()].every((name) => KNOWN.includes(name)) && argv.length % 2 === 0;
  if (!isKnown || chosen.length === 0 || !numbers.every((each) => Number.isInteger(each) && each > 0)) {
    console.error(USAGE);
    return 2;
  }
  const prove = (backEnd: BackEnd): Promise<boolean> => {
    const seed = number('--seed', 1);
    if (given.has('--kills')) return killOver(backEnd, number('--kills', 50), seed);
    if (given.has('--backup')) return proveBackup(backEnd, seed);
    return campaign(backEnd, number('--runs', 200), seed, given.get('--fault'));
  };
  let isKept = true;
  for (const backEnd of chosen) isKept = (await prove(backEnd)) && isKept;
  return isKept ? 0 : 1;
}
