/** The command-line doors: sets up what is missing, then runs the named command in this process. */
import v8 from 'node:v8';
import { setUpOrExit } from './setup.mjs';

const doors = {
  analyse: () => import('../dist/apps/cli/analyse.js'),
  plan: () => import('../dist/apps/cli/plan.js'),
  correlate: () => import('../dist/apps/cli/correlate.js'),
  send: () => import('../dist/apps/cli/send.js'),
  backup: async () => ({ main: (await import('../dist/apps/cli/backup.js')).backup }),
  restore: async () => ({ main: (await import('../dist/apps/cli/backup.js')).restore }),
  bench: () => import('../dist/test/bench/main.js'),
  faults: () => import('../dist/test/faults/main.js'),
  demo: () => import('../dist/seed/writeDemo.js'),
};

// Whoever reads may stop reading (`| head`): nothing is wrong then.
process.stdout.on('error', (error) => {
  if (error.code !== 'EPIPE') throw error;
  process.exit();
});

const [name, ...args] = process.argv.slice(2);
const open = doors[name];
if (!open) {
  console.error(`There is no command "${name}". There are: ${Object.keys(doors).join(', ')}.`);
  process.exit(2);
}
if (name === 'analyse') {
  // A command of half a second would spend a third of it making code fast that has done its work by then.
  v8.setFlagsFromString('--interrupt-budget=300000');
  v8.setFlagsFromString('--no-concurrent-recompilation');
}
const needsDatabase = name === 'backup' || name === 'restore';
// Two of them start whole installations.
const startsServers = name === 'bench' || name === 'faults';
await setUpOrExit(
  startsServers ? {} : { only: ['packages', ...(needsDatabase ? ['postgres'] : []), 'client', 'server'] },
);
const { main } = await open();
// Set rather than exited with: a long answer on a pipe is written to its end.
process.exitCode = await main(args);
// The migration engine leaves a timer of ten seconds behind; what these two say is a line or two, and written.
if (needsDatabase) process.exit();
