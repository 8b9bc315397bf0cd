/** Reads glyph advances from a TrueType file (OpenType specification: cmap format 4, hhea, hmtx, head). */

export function fontAdvances(font: Uint8Array): (letter: string) => number | undefined {
  const view = new DataView(font.buffer, font.byteOffset, font.byteLength);
  const table = (tag: string): number => {
    for (let index = 0; index < view.getUint16(4); index += 1) {
      const entry = 12 + 16 * index;
      if (String.fromCharCode(...font.subarray(entry, entry + 4)) === tag) return view.getUint32(entry + 8);
    }
    throw new Error(`The font has no ${tag} table.`);
  };
  const unitsPerEm = view.getUint16(table('head') + 18);
  const longMetrics = view.getUint16(table('hhea') + 34);
  const metrics = table('hmtx');
  const map = characterMap(view, table('cmap'));
  return (letter) => {
    const glyph = glyphOf(view, map, letter.codePointAt(0) ?? 0);
    if (glyph === 0) return undefined;
    return (view.getUint16(metrics + 4 * Math.min(glyph, longMetrics - 1)) * 1000) / unitsPerEm;
  };
}

function characterMap(view: DataView, cmap: number): number {
  for (let index = 0; index < view.getUint16(cmap + 2); index += 1) {
    const subtable = cmap + view.getUint32(cmap + 8 + 8 * index);
    if (view.getUint16(subtable) === 4) return subtable;
  }
  throw new Error('The font has no character map of format 4.');
}

function glyphOf(view: DataView, map: number, code: number): number {
  const segments = view.getUint16(map + 6) / 2;
  for (let index = 0; index < segments; index += 1) {
    if (code > view.getUint16(map + 14 + 2 * index)) continue;
    const start = view.getUint16(map + 16 + 2 * segments + 2 * index);
    if (code < start) return 0;
    const delta = view.getUint16(map + 16 + 4 * segments + 2 * index);
    const rangeAt = map + 16 + 6 * segments + 2 * index;
    const range = view.getUint16(rangeAt);
    if (range === 0) return (code + delta) & 0xffff;
    const glyph = view.getUint16(rangeAt + range + 2 * (code - start));
    return glyph === 0 ? 0 : (glyph + delta) & 0xffff;
  }
  return 0;
}
