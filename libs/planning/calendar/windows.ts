/** A stretch [from, to) in slots. Lists of them are kept rising and disjoint. */
export type Window = readonly [number, number];

/** Sorted, overlaps and touching ends joined, empty ones dropped. */
export function normalised(windows: readonly Window[]): Window[] {
  const sorted = windows.filter(([from, to]) => to > from).sort((a, b) => a[0] - b[0]);
  const joined: [number, number][] = [];
  for (const [from, to] of sorted) {
    const last = joined.at(-1);
    if (last && from <= last[1]) last[1] = Math.max(last[1], to);
    else joined.push([from, to]);
  }
  return joined;
}

/** What of `windows` is left when `closed` is taken out. Both normalised. */
export function without(windows: readonly Window[], closed: readonly Window[]): Window[] {
  const left: Window[] = [];
  let i = 0;
  for (const [from, to] of windows) {
    let at = from;
    while (i < closed.length && closed[i][1] <= from) i += 1;
    for (let k = i; k < closed.length && closed[k][0] < to; k += 1) {
      const [closedFrom, closedTo] = closed[k];
      if (closedFrom > at) left.push([at, closedFrom]);
      at = Math.max(at, closedTo);
    }
    if (at < to) left.push([at, to]);
  }
  return left;
}

/** Time in both. Both normalised. */
export function overlap(a: readonly Window[], b: readonly Window[]): Window[] {
  const both: Window[] = [];
  let i = 0;
  let k = 0;
  while (i < a.length && k < b.length) {
    const [aFrom, aTo] = a[i];
    const [bFrom, bTo] = b[k];
    const from = Math.max(aFrom, bFrom);
    const to = Math.min(aTo, bTo);
    if (from < to) both.push([from, to]);
    if (aTo <= bTo) i += 1;
    else k += 1;
  }
  return both;
}

/** Length of the longest stretch, 0 when there is none. */
export function longest(windows: readonly Window[]): number {
  let most = 0;
  for (const [from, to] of windows) most = Math.max(most, to - from);
  return most;
}
