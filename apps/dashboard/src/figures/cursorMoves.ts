/** Where a key takes the cursor: by data points, by thirds of an octave, by octaves, or to an end. */
import { nextFrequency, type FigureDescription } from '../../../../libs/figures/index.js';

export interface KeyPress {
  readonly key: string;
  readonly shiftKey: boolean;
}

/** The new frequency; null when the key means nothing here. */
export function moved(description: FigureDescription, fromHz: number, press: KeyPress): number | null {
  const [lowestHz, highestHz] = rangeOf(description);
  const within = (hz: number) => Math.min(highestHz, Math.max(lowestHz, hz));
  switch (press.key) {
    case 'ArrowRight':
      return press.shiftKey ? within(fromHz * 2 ** (1 / 3)) : nextFrequency(description, fromHz, 1);
    case 'ArrowLeft':
      return press.shiftKey ? within(fromHz / 2 ** (1 / 3)) : nextFrequency(description, fromHz, -1);
    case 'PageUp':
      return within(fromHz * 2);
    case 'PageDown':
      return within(fromHz / 2);
    case 'Home':
      return lowestHz;
    case 'End':
      return highestHz;
    default:
      return null;
  }
}

export function rangeOf(description: FigureDescription): readonly [lowestHz: number, highestHz: number] {
  return description.panels[0]?.x.domain ?? [20, 20_000];
}

/** The measured angle next to one, up (1) or down (-1). */
export function nextAngle(anglesDeg: readonly number[], angleDeg: number, direction: 1 | -1): number {
  const beyond = anglesDeg.filter((each) => (each - angleDeg) * direction > 0);
  if (beyond.length === 0) return angleDeg;
  return direction === 1 ? Math.min(...beyond) : Math.max(...beyond);
}
