/** The cautions a unit's page shows. */
import type { UnitKind } from '../contracts/index.js';

/** Load constant of the revised NIOSH lifting equation, kg [Waters et al. 1993, NIOSH 94-110]. */
const TWO_PEOPLE_ABOVE_KG = 23;

export function cautionsFor(unit: {
  kind: UnitKind;
  massKg: number | null;
  ratedPowerW: number | null;
}): string[] {
  const cautions: string[] = [];
  if (unit.massKg !== null && unit.massKg > TWO_PEOPLE_ABOVE_KG) {
    cautions.push(
      `${unit.massKg} kg: lift with two people (the NIOSH lifting equation starts from ${TWO_PEOPLE_ABOVE_KG} kg for one). Stands and turntables can tip.`,
    );
  }
  cautions.push(
    'Loud tests: wear hearing protection, warn the house and keep to local rules. NIOSH 98-126 allows 8 h at 85 dBA and 1 h at 94 dBA.',
  );
  cautions.push(
    unit.ratedPowerW === null
      ? 'Borrowed unit: ask the maker for the rated input before driving it hard; watch sweep level, low-frequency excursion and tweeter heating.'
      : `Borrowed unit: stay within the rated ${unit.ratedPowerW} W; watch sweep level, low-frequency excursion and tweeter heating.`,
  );
  if (unit.kind === 'active' || unit.kind === 'subwoofer') {
    cautions.push('Mains-powered: covers stay on; leave anything inside to licensed practice.');
  }
  return cautions;
}
