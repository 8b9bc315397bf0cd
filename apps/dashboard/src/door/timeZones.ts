/** The zones this browser knows by name. */
export function timeZones(): readonly string[] {
  return ['UTC', ...Intl.supportedValuesOf('timeZone')];
}
