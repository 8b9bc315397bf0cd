/**
 * Angles in as few words as they need: steps of 10 run together.
 *
 * @param anglesDeg rising
 * @example angleRanges([-30, -20, -10, 40]) // '-30° to -10°, +40°'
 */
export function angleRanges(anglesDeg: readonly number[]): string {
  const runs: { from: number; to: number }[] = [];
  for (const angle of anglesDeg) {
    const last = runs.at(-1);
    if (last !== undefined && angle - last.to === 10) last.to = angle;
    else runs.push({ from: angle, to: angle });
  }
  return runs
    .map(({ from, to }) => {
      if (from === to) return signed(from);
      return to - from === 10 ? `${signed(from)}, ${signed(to)}` : `${signed(from)} to ${signed(to)}`;
    })
    .join(', ');
}

function signed(angleDeg: number): string {
  return angleDeg > 0 && angleDeg !== 180 ? `+${angleDeg}°` : `${angleDeg}°`;
}
