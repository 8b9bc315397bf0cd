/** `npm test`: sets up what is missing, then runs every test there is; says loudly what could not run. */
import { spawn } from 'node:child_process';
import { root, setUpOrExit } from './setup.mjs';

await setUpOrExit();
const args = ['node_modules/vitest/vitest.mjs', 'run', ...process.argv.slice(2)];
const child = spawn(process.execPath, args, { cwd: root, stdio: 'inherit' });
for (const signal of ['SIGINT', 'SIGTERM']) process.on(signal, () => child.kill(signal));
child.on('exit', (code) => {
  process.exitCode = code ?? 1;
});
