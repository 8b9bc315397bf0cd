/** The examples in README.md, taken out of it to be run as they stand there. */
import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { readFile, writeFile } from 'node:fs/promises';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import ts from 'typescript';

const root = path.resolve(import.meta.dirname, '..', '..');

/** @param marker words that only this example has */
export async function readmeExample(language: 'ts' | 'js', marker: string): Promise<string> {
  const text = await readFile(path.join(root, 'README.md'), 'utf8');
  const blocks = [...text.matchAll(/^```(\w+)\n(.*?)^```/gms)];
  const found = blocks.find(([, of, code]) => of === language && code?.includes(marker));
  if (!found?.[2]) throw new Error(`README.md has no ${language} example with “${marker}”.`);
  return found[2];
}

/** Runs a TypeScript example in a folder, on what was built of this checkout. @returns what it printed */
export async function runExample(code: string, folder: string, env: NodeJS.ProcessEnv): Promise<string> {
  const contracts = pathToFileURL(path.join(root, 'dist/libs/contracts/index.js')).href;
  const { outputText } = ts.transpileModule(code, {
    compilerOptions: { module: ts.ModuleKind.ESNext, target: ts.ScriptTarget.ES2023 },
  });
  const file = path.join(folder, 'example.mjs');
  await writeFile(file, outputText.replace('./libs/contracts/index.js', contracts));
  const child = spawn(process.execPath, [file], { cwd: folder, env: { ...process.env, ...env } });
  let said = '';
  for (const stream of [child.stdout, child.stderr])
    stream.on('data', (chunk: Buffer) => (said += chunk.toString('utf8')));
  const [exitCode] = (await once(child, 'close')) as [number | null];
  if (exitCode !== 0) throw new Error(`The example ended with ${exitCode}:\n${said}`);
  return said;
}
