import { textFaults } from './faults.js';
import type { DataFile } from './files/dataFile.js';
import { measurementSet } from './files/measurementSet.js';
import { demoCalendar } from './scenario/calendar.js';
import { fen6Loan } from './scenario/loans/fen6Loan.js';
import { fen8Loan } from './scenario/loans/fen8Loan.js';
import { lumen6Loan } from './scenario/loans/lumen6Loan.js';
import { mural6Loan } from './scenario/loans/mural6Loan.js';
import { plane2Loan } from './scenario/loans/plane2Loan.js';
import { reedmaceCLoan } from './scenario/loans/reedmaceCLoan.js';
import { sedge3Loan } from './scenario/loans/sedge3Loan.js';
import { sedge5Loan } from './scenario/loans/sedge5Loan.js';
import { strand5Loan } from './scenario/loans/strand5Loan.js';
import { strand7Loan } from './scenario/loans/strand7Loan.js';
import { whin15Loan } from './scenario/loans/whin15Loan.js';
import { whin4Loan } from './scenario/loans/whin4Loan.js';
import { demoMakers } from './scenario/makers.js';
import type { DemoScenario, DemoSet } from './scenario/model.js';
import { demoTeam } from './scenario/team.js';

export type * from './scenario/model.js';
export { photographPng } from './scenario/photograph.js';

/**
 * The invented team, its makers and twelve loans at every stage, dated relative to `today` (YYYY-MM-DD).
 * Cheap: files and photographs are made only when asked for. Throws for anything but a day.
 *
 * @example demoScenario({ seed: 1, today: '2026-03-02' }).loans.length // 12
 */
export function demoScenario(input: { readonly seed: number; readonly today: string }): DemoScenario {
  const calendar = demoCalendar(input.today);
  const loans = [
    whin15Loan,
    whin4Loan,
    strand5Loan,
    strand7Loan,
    lumen6Loan,
    plane2Loan,
    fen8Loan,
    reedmaceCLoan,
    sedge5Loan,
    fen6Loan,
    mural6Loan,
    sedge3Loan,
  ].map((loan) => loan(calendar));
  return { invented: true, seed: input.seed, today: input.today, team: demoTeam, makers: demoMakers, loans };
}

/** The files of a set of the scenario, its deliberate faults included. */
export function demoSetFiles(set: DemoSet, seed: number): readonly DataFile[] {
  const clean = measurementSet(set.designId, { seed, serial: set.serial, parts: set.parts });
  return set.faults.reduce<readonly DataFile[]>((files, fault) => textFaults[fault](files), clean);
}
