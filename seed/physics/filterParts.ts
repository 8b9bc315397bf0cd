import type { FilterPart } from './loudspeaker.js';
import {
  butterworth,
  cascade,
  delay,
  highShelf,
  inverted,
  linkwitzRiley,
  peaking,
  type Transfer,
} from './transfer.js';

export function transferOf(parts: readonly FilterPart[]): Transfer {
  return cascade(parts.map(partTransfer));
}

function partTransfer(part: FilterPart): Transfer {
  switch (part.kind) {
    case 'linkwitz-riley':
      return linkwitzRiley(part.pass, part.order, part.hz);
    case 'butterworth':
      return butterworth(part.pass, part.order, part.hz);
    case 'peaking':
      return peaking(part.hz, part.gainDb, part.q);
    case 'high-shelf':
      return highShelf(part.hz, part.gainDb);
    case 'delay':
      return delay(part.microseconds / 1e6);
    case 'inverted':
      return inverted;
  }
}
