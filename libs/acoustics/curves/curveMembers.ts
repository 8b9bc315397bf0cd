import type { AnalysisSettings } from '../analysis.js';
import type { Orbit } from '../series.js';

export interface OrbitAngle {
  readonly orbit: Orbit;
  readonly angleDeg: number;
}

export interface CurveMembers {
  readonly listeningWindow: readonly OrbitAngle[];
  readonly floorBounce: readonly OrbitAngle[];
  readonly ceilingBounce: readonly OrbitAngle[];
  readonly frontWallBounce: readonly OrbitAngle[];
  readonly sideWallBounce: readonly OrbitAngle[];
  readonly rearWallBounce: readonly OrbitAngle[];
  /** All 70 distinct directions. */
  readonly soundPower: readonly OrbitAngle[];
}

/**
 * Which angles each curve averages (ANSI/CTA-2034-A). The rear wall has two readings: H +-90 to +-170 and
 * 180 (`nineteen`), or H +-90 and 180 (`three`).
 */
export function curveMembers({ rearWall }: Pick<AnalysisSettings, 'rearWall'>): CurveMembers {
  const axis = horizontal(0);
  const front = [axis, ...bothSides('horizontal', [10, 20, 30])];
  const rearAngles = rearWall === 'nineteen' ? steps(90, 170) : [90];
  return {
    listeningWindow: [...front, ...bothSides('vertical', [10])],
    floorBounce: [vertical(-20), vertical(-30), vertical(-40)],
    ceilingBounce: [vertical(40), vertical(50), vertical(60)],
    frontWallBounce: front,
    sideWallBounce: bothSides('horizontal', steps(40, 80)),
    rearWallBounce: [...bothSides('horizontal', rearAngles), horizontal(180)],
    soundPower: [
      axis,
      ...bothSides('horizontal', steps(10, 170)),
      ...bothSides('vertical', steps(10, 170)),
      horizontal(180),
    ],
  };
}

function horizontal(angleDeg: number): OrbitAngle {
  return { orbit: 'horizontal', angleDeg };
}

function vertical(angleDeg: number): OrbitAngle {
  return { orbit: 'vertical', angleDeg };
}

function bothSides(orbit: Orbit, anglesDeg: readonly number[]): OrbitAngle[] {
  return anglesDeg.flatMap((angleDeg) => [
    { orbit, angleDeg },
    { orbit, angleDeg: -angleDeg },
  ]);
}

function steps(fromDeg: number, toDeg: number): number[] {
  return Array.from({ length: (toDeg - fromDeg) / 10 + 1 }, (_, k) => fromDeg + 10 * k);
}
