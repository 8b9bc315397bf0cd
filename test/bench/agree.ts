/**
 * Makes sure that a comparison compares the same result.
 *
 * @throws when the lists differ in length or anywhere by more than `tolerance`
 */
export function agree(
  what: string,
  ours: readonly number[],
  theirs: readonly number[],
  tolerance: number,
): void {
  const worst = ours.reduce((most, value, i) => Math.max(most, Math.abs(value - theirs[i])), 0);
  if (ours.length === 0 || ours.length !== theirs.length || !(worst <= tolerance))
    throw new Error(`${what}: ours and the peer's results differ (by ${worst}); the times mean nothing.`);
}
