/** The closed lists every side of the house agrees on, with the words people read. */
import { z } from 'zod';

export const roles = ['owner', 'cohost', 'editor', 'viewer'] as const;
export const Role = z.enum(roles).describe('owner; member (cohost, editor); viewer: an invited supporter');
export type Role = z.infer<typeof Role>;
export const roleWords: Readonly<Record<Role, string>> = {
  owner: 'Owner',
  cohost: 'Co-host',
  editor: 'Editor',
  viewer: 'Viewer',
};

export const stages = [
  'requested',
  'agreed',
  'arrived',
  'measuring',
  'listening',
  'drafting',
  'published',
  'returning',
  'closed',
] as const;
export const Stage = z.enum(stages).describe('Where a loan is in its life');
export type Stage = z.infer<typeof Stage>;
export const stageWords: Readonly<Record<Stage, string>> = {
  requested: 'Requested',
  agreed: 'Agreed',
  arrived: 'Unpacking',
  measuring: 'Measuring',
  listening: 'Listening',
  drafting: 'Drafting',
  published: 'Published',
  returning: 'Returning',
  closed: 'Closed',
};

export const unitKinds = [
  'standmount',
  'floorstander',
  'centre',
  'subwoofer',
  'active',
  'panel',
  'inwall',
] as const;
export const UnitKind = z.enum(unitKinds).describe('Kind of loudspeaker');
export type UnitKind = z.infer<typeof UnitKind>;
export const unitKindWords: Readonly<Record<UnitKind, string>> = {
  standmount: 'Stand-mount',
  floorstander: 'Floor-stander',
  centre: 'Centre',
  subwoofer: 'Subwoofer',
  active: 'Active',
  panel: 'Panel',
  inwall: 'In-wall',
};

export const Moment = z.enum(['arrival', 'return']);
export type Moment = z.infer<typeof Moment>;

export const computationStates = [
  'queued',
  'reading',
  'analysing',
  'drawing',
  'done',
  'refused',
  'quarantined',
] as const;
export const ComputationState = z
  .enum(computationStates)
  .describe('refused: the files could not be read; quarantined: the computation failed repeatedly');
export type ComputationState = z.infer<typeof ComputationState>;
/** Not ended yet. */
export const statesAtWork = [
  'queued',
  'reading',
  'analysing',
  'drawing',
] as const satisfies readonly ComputationState[];
export const computationWords: Readonly<Record<ComputationState, string>> = {
  queued: 'Waiting its turn',
  reading: 'Reading the files',
  analysing: 'Computing',
  drawing: 'Drawing the figures',
  done: 'Ready',
  refused: 'Not readable',
  quarantined: 'Set aside after failing',
};

export const Severity = z.enum(['blocking', 'check', 'note']);
export type Severity = z.infer<typeof Severity>;
