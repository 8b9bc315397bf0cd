import type { InputFile, QualityFinding } from '../series.js';
import type { QualityContext } from './qualityContext.js';

/**
 * Files other than directivity that are alike to the byte, such as one distortion file under two levels.
 * Directivity is compared by its numbers (`identicalData`), as two names may rightly share one direction.
 */
export function identicalInputs({ set }: QualityContext): QualityFinding[] {
  const byHash = new Map<string, InputFile[]>();
  for (const input of set.inputs) {
    if (input.role === 'directivity') continue;
    byHash.set(input.sha256, [...(byHash.get(input.sha256) ?? []), input]);
  }
  return [...byHash.values()]
    .filter((alike) => new Set(alike.map(({ file }) => file)).size > 1)
    .map((alike) => ({
      severity: 'blocking',
      code: 'identical-files',
      message: `${alike.map(({ file }) => file).join(' and ')} are the same file to the byte: find out which it is, and measure the other.`,
      file: alike[1].file,
    }));
}
