/** Slope of the least-squares line through `levelDb` against log2 of `hz`, dB per octave; 0 with fewer than two points. */
export function slopeOf(hz: Float64Array, levelDb: Float64Array): number {
  const n = hz.length;
  if (n < 2) return 0;
  const octaves = hz.map((f) => Math.log2(f));
  const meanX = octaves.reduce((sum, x) => sum + x, 0) / n;
  const meanY = levelDb.reduce((sum, y) => sum + y, 0) / n;
  let xy = 0;
  let xx = 0;
  for (let i = 0; i < n; i++) {
    xy += (octaves[i] - meanX) * (levelDb[i] - meanY);
    xx += (octaves[i] - meanX) ** 2;
  }
  return xx === 0 ? 0 : xy / xx;
}
