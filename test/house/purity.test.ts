import { readdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { describe, expect, it } from 'vitest';

const root = path.resolve(import.meta.dirname, '..', '..');
/** What would make an engine answer differently for the same question. */
const SURROUNDINGS = /\bprocess\.|\bDate\.now\b|\bnew Date\(\)|\bMath\.random\b|\bperformance\.|\bnode:/;

function surroundingsRead(library: string): string[] {
  const folder = path.join(root, 'libs', library);
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !/\.test\.ts$|(^|\/)testing\//.test(name))
    .flatMap((name) => {
      const lines = readFileSync(path.join(folder, name), 'utf8').split('\n');
      return lines.flatMap((line, index) =>
        SURROUNDINGS.test(line) && !/^\s*(\/?\*|\/\/)/.test(line)
          ? [`libs/${library}/${name}:${index + 1}: ${line.trim()}`]
          : [],
      );
    });
}

describe('the engines', () => {
  it.each(['acoustics', 'planning', 'evidence', 'loan-life'])(
    '%s takes time, chance and surroundings as arguments',
    (library) => {
      expect(surroundingsRead(library)).toEqual([]);
    },
  );

  it('are really looked through: the store does read its surroundings', () => {
    expect(surroundingsRead('store').length).toBeGreaterThan(3);
  });
});
