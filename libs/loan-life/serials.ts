/** The serial number read off a unit against the one noted of it. */

interface Noted {
  readonly id: string;
  readonly serial: string;
}

const plain = (serial: string): string => serial.toUpperCase().replaceAll(/[\s._/-]+/g, '');

/** Only what was both noted and read can differ; a report on the crate as a whole speaks of the unit where there is one. */
export function serialDiffers(
  report: { readonly unitId: string | null; readonly serialSeen: string },
  units: readonly Noted[],
): boolean {
  const unit =
    report.unitId === null && units.length === 1 ? units[0] : units.find(({ id }) => id === report.unitId);
  if (!unit || plain(unit.serial) === '' || plain(report.serialSeen) === '') return false;
  return plain(unit.serial) !== plain(report.serialSeen);
}
