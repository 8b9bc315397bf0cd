/** From an axis' quantity to px and back. */
import { scaleLinear, scaleLog } from 'd3-scale';
import type { Axis, AxisTick } from '../description.js';

export interface AxisScale {
  readonly pxOf: (value: number) => number;
  readonly valueAt: (px: number) => number;
}

/** `from` and `to` are the px of the domain's ends; the axis continues beyond them. */
export function axisScale(axis: Axis, from: number, to: number): AxisScale {
  const scale = axis.scale === 'log' ? scaleLog() : scaleLinear();
  scale.domain([...axis.domain]).range([from, to]);
  return { pxOf: (value) => scale(value), valueAt: (px) => scale.invert(px) };
}

/** The ticks that can be labelled without touching: round numbers first, then whatever still fits. */
export function readableTicks(
  ticks: readonly AxisTick[],
  extentOf: (tick: AxisTick) => readonly [number, number],
  gapPx: number,
): AxisTick[] {
  const kept: { readonly tick: AxisTick; readonly extent: readonly [number, number] }[] = [];
  for (const tick of ticks.toSorted((a, b) => roundness(b.value) - roundness(a.value))) {
    const extent = extentOf(tick);
    const touches = kept.some(
      (other) => extent[0] < other.extent[1] + gapPx && other.extent[0] < extent[1] + gapPx,
    );
    if (!touches) kept.push({ tick, extent });
  }
  return kept.map(({ tick }) => tick).toSorted((a, b) => a.value - b.value);
}

function roundness(value: number): number {
  if (value === 0) return 4;
  const lead = Number(Math.abs(value).toExponential(3).split('e')[0]);
  return lead === 1 ? 3 : lead === 5 ? 2 : lead === 2 ? 1 : 0;
}
