/** The browser of these tests: Chromium as the system has it, found on the PATH. */
import { accessSync, constants } from 'node:fs';
import path from 'node:path';
import { chromium, type Browser } from 'playwright-core';

const names = ['chromium', 'chromium-browser', 'google-chrome', 'chrome'];

/** Where Chromium is; undefined where it is not installed. */
export const chromiumPath = (process.env['PATH'] ?? '')
  .split(path.delimiter)
  .flatMap((folder) => names.map((name) => path.join(folder, name)))
  .find(isExecutable);

if (!chromiumPath) {
  if (process.env['CI']) throw new Error('Chromium is not installed: under CI the browser suites must run.');
  console.warn('\n*** SKIPPED: the browser suites, since Chromium is not installed. ***\n');
}

// No sandbox: containers and root have none. The rest keeps the browser from talking to anybody but us.
const launchArgs = [
  '--no-sandbox',
  '--disable-gpu',
  '--disable-quic',
  '--no-first-run',
  '--disable-background-networking',
  '--disable-component-update',
  '--disable-sync',
];

export async function launchChromium(): Promise<Browser> {
  return chromium.launch({ executablePath: chromiumPath ?? '', args: launchArgs });
}

function isExecutable(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return true;
  } catch {
    return false;
  }
}
