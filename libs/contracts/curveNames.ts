/** The curves units are laid over each other by; without schemas, for pages that check nothing. */
export const comparedCurves = [
  'onAxis',
  'listeningWindow',
  'earlyReflections',
  'soundPower',
  'earlyReflectionsDirectivityIndex',
  'soundPowerDirectivityIndex',
  'estimatedInRoom',
] as const;
