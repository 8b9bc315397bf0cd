/**
 * Known weaknesses of the packages we run with. Fails for high and critical ones; where no list of advisories can be
 * reached it says so loudly and does not fail: what needs no network is checked by test/house/packages.test.ts.
 */
import { spawnSync } from 'node:child_process';
import { root } from './setup.mjs';

const asked = spawnSync('npm', ['audit', '--audit-level=high', '--omit=dev', '--json'], {
  cwd: root,
  encoding: 'utf8',
  shell: process.platform === 'win32',
});
let answer;
try {
  answer = JSON.parse(asked.stdout);
} catch {
  answer = {};
}
if (answer.metadata?.vulnerabilities) {
  const { critical, high, moderate, low } = answer.metadata.vulnerabilities;
  console.log(`advisories: ${critical} critical, ${high} high, ${moderate} moderate, ${low} low`);
  for (const [name, { severity, range }] of Object.entries(answer.vulnerabilities ?? {}))
    if (severity === 'high' || severity === 'critical') console.log(`  ${severity}: ${name} ${range}`);
  process.exit(asked.status === 0 ? 0 : 1);
}
const why = answer.message ?? answer.error?.summary ?? asked.stderr?.trim().split('\n')[0] ?? 'no answer';
console.warn(`
*** NOT CHECKED: no list of advisories could be reached (${why}).
*** The packages were not compared with known weaknesses. Run "npm audit --omit=dev" where there is one.
`);
