import type { StepTemplate, WorkTemplates } from './types.js';

/** The places the default templates book. */
export const rigId = 'rig';
export const roomId = 'room';

/** Above this a second person lifts (load constant of the revised NIOSH lifting equation). */
export const onePersonLiftKg = 23;

// Durations are common practice, no source; every team edits them and learns its own.
const unpack: StepTemplate = {
  kind: 'unpack',
  label: 'Unpack and inspect',
  minutes: 60,
  per: 'loan',
  combine: 'sum',
  after: [],
  people: 1,
  needsUnit: true,
};

const runIn: StepTemplate = {
  kind: 'run-in',
  label: 'Run-in',
  minutes: 720,
  per: 'unit',
  after: ['unpack'],
  people: 0,
  unattended: true,
  needsUnit: true,
};

const impedance: StepTemplate = {
  kind: 'impedance',
  label: 'Impedance',
  minutes: 30,
  per: 'unit',
  after: ['run-in', 'unpack'],
  people: 1,
  place: rigId,
  needsUnit: true,
};

const orbits: StepTemplate = {
  kind: 'orbits',
  label: 'Both orbits',
  minutes: 240,
  per: 'unit',
  after: ['impedance', 'run-in', 'unpack'],
  people: 1,
  place: rigId,
  sessionMinutes: 240,
  needsUnit: true,
};

const distortion: StepTemplate = {
  kind: 'distortion',
  label: 'Distortion, multitone, compression',
  minutes: 90,
  per: 'unit',
  after: ['orbits', 'run-in', 'unpack'],
  people: 1,
  place: rigId,
  loud: true,
  needsUnit: true,
};

const listening: StepTemplate = {
  kind: 'listening',
  label: 'Listening',
  minutes: 240,
  per: 'loan',
  combine: 'most',
  after: ['run-in', 'unpack'],
  people: 1,
  place: roomId,
  sessions: 2,
  sessionMinutes: 180,
  separateDays: true,
  needsUnit: true,
};

const drafting: StepTemplate = {
  kind: 'drafting',
  label: 'Draft',
  minutes: 360,
  per: 'loan',
  combine: 'most',
  after: ['impedance', 'orbits', 'distortion', 'listening'],
  people: 1,
  sessionMinutes: 240,
  needsUnit: false,
};

const film: StepTemplate = {
  kind: 'film',
  label: 'Film and photograph',
  minutes: 180,
  per: 'loan',
  combine: 'most',
  after: ['unpack'],
  people: 1,
  sessionMinutes: 240,
  needsUnit: true,
};

const edit: StepTemplate = {
  kind: 'edit',
  label: 'Edit the film',
  minutes: 420,
  per: 'loan',
  combine: 'most',
  after: ['film', 'listening', 'distortion'],
  people: 1,
  sessionMinutes: 240,
  needsUnit: false,
};

const publish: StepTemplate = {
  kind: 'publish',
  label: 'Publish',
  minutes: 30,
  per: 'loan',
  combine: 'most',
  after: ['drafting', 'edit', 'film'],
  people: 1,
  needsUnit: false,
};

const pack: StepTemplate = {
  kind: 'pack',
  label: 'Pack',
  minutes: 60,
  per: 'loan',
  combine: 'sum',
  after: ['unpack'],
  people: 1,
  needsUnit: false,
};

const passive = [
  unpack,
  runIn,
  impedance,
  orbits,
  distortion,
  listening,
  drafting,
  film,
  edit,
  publish,
  pack,
];

function changed(changes: Readonly<Record<string, Partial<StepTemplate> | null>>): readonly StepTemplate[] {
  return passive.flatMap((step) => {
    const change = changes[step.kind];
    return change === null ? [] : [{ ...step, ...change }];
  });
}

/**
 * Work per kind of unit. `pack` also waits for every step that needs the unit, and for `publish` where the maker's
 * terms keep the unit until then: that is a matter of the loan, not of the template.
 */
export const defaultTemplates: WorkTemplates = {
  standmount: changed({}),
  floorstander: changed({ orbits: { minutes: 300, sessionMinutes: 300 }, 'run-in': { minutes: 1440 } }),
  centre: changed({ orbits: { minutes: 240 }, film: { minutes: 120 } }),
  subwoofer: changed({
    orbits: { minutes: 120, label: 'Near-field and ground-plane response' },
    distortion: { minutes: 120 },
    'run-in': { minutes: 480 },
    film: { minutes: 120 },
  }),
  // The amplifier's terminals are inside: there is no impedance to measure.
  active: changed({ impedance: null }),
  panel: changed({ orbits: { minutes: 360, sessionMinutes: 240 } }),
  inwall: changed({ orbits: { minutes: 180, label: 'Front hemisphere' }, film: { minutes: 120 } }),
  other: changed({}),
};
