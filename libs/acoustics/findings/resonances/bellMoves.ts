import type { Bell, ResponseModel } from './responseModel.js';

/** A changed set of bells, and where it changed. */
export interface BellMove {
  readonly model: ResponseModel;
  readonly aroundHz: readonly number[];
  /** How many bells should be sought in what the change left unexplained. */
  readonly toAdd: 0 | 1 | 2;
}

/**
 * The changes by which a set of bells that fits well but wrongly can be left: one taken away, one taken away
 * and sought anew, two neighbours taken away and sought anew, a wide one split in two.
 */
export function bellMoves(model: ResponseModel): readonly BellMove[] {
  const bells = [...model.bells].sort((a, b) => a.centreHz - b.centreHz);
  const moves: BellMove[] = [];
  bells.forEach((bell, i) => {
    const without = bells.toSpliced(i, 1);
    const aroundHz = [bell.centreHz];
    moves.push({ model: { ...model, bells: without }, aroundHz, toAdd: 0 });
    moves.push({ model: { ...model, bells: without }, aroundHz, toAdd: 1 });
    moves.push({ model: { ...model, bells: [...without, ...halves(bell)] }, aroundHz, toAdd: 0 });
    const next = bells[i + 1];
    if (!next) return;
    const withoutPair = { ...model, bells: bells.toSpliced(i, 2) };
    moves.push({ model: withoutPair, aroundHz: [bell.centreHz, next.centreHz], toAdd: 1 });
    moves.push({ model: withoutPair, aroundHz: [bell.centreHz, next.centreHz], toAdd: 2 });
  });
  return moves;
}

function halves(bell: Bell): readonly Bell[] {
  const apart = 2 ** (0.4 / bell.q);
  const half = { ...bell, levelDb: bell.levelDb * 0.8, q: bell.q * 1.7 };
  return [
    { ...half, centreHz: bell.centreHz / apart },
    { ...half, centreHz: bell.centreHz * apart },
  ];
}
