import { z } from 'zod';
import type { Conditions } from '../../acoustics/series.js';
import { defaultLimits } from '../limits.js';

/**
 * `manifest.json`: what the operator states about a set. Unknown keys are passed over here and noted by the
 * reader; `null` counts as not stated.
 */

const positive = z.number().positive();
const text = z.string().trim().min(1).max(500);
const optional = <T extends z.ZodType>(type: T) => type.nullish().transform((value) => value ?? undefined);

/** Every condition the analysis knows can be stated: a new one does not compile until it stands here. */
const conditions = z.object({
  distanceM: optional(positive.max(1000)),
  driveVolts: optional(positive.max(1000)),
  grille: optional(z.enum(['on', 'off'])),
  referenceAxis: optional(text),
  temperatureC: optional(z.number().min(-60).max(100)),
  mirrorHorizontal: optional(z.boolean()),
  ratedOhm: optional(positive.max(1000)),
  gateMs: optional(positive.max(10_000)),
  unit: optional(text),
  serial: optional(text),
} satisfies Record<keyof Conditions, z.ZodType>);

const hertz = positive.max(1_000_000);

const stimulus = z.discriminatedUnion('type', [
  z
    .object({
      type: z.literal('exponential-sweep'),
      fromHz: hertz,
      toHz: hertz,
      seconds: positive.max(600),
      sampleRateHz: z.number().int().min(4000).max(1_600_000),
    })
    .refine((sweep) => sweep.toHz > sweep.fromHz, { path: ['toHz'], message: 'must be above "fromHz"' })
    .refine((sweep) => sweep.toHz <= sweep.sampleRateHz / 2, {
      path: ['toHz'],
      message: 'must not be above half of "sampleRateHz"',
    }),
  z.object({ type: z.literal('multitone'), frequenciesHz: z.array(hertz).min(2).max(10_000) }),
]);

const columnName = z.string().max(200);
const columns = z.union([
  z.array(columnName.nullable()).min(2).max(defaultLimits.textColumns),
  z.record(columnName, z.union([columnName, z.number().int().min(1).max(defaultLimits.textColumns)])),
]);

const levelDb = z.number().min(0).max(200);

const file = z.object({
  file: z.string().min(1).max(1000),
  role: optional(
    z.enum(['directivity', 'impedance', 'distortion', 'multitone', 'compression', 'in-room', 'calibration']),
  ),
  orbit: optional(z.enum(['horizontal', 'vertical'])),
  angleDeg: optional(z.number().min(-180).lt(360)),
  levelDb: optional(levelDb),
  columns: optional(columns),
  stimulus: optional(stimulus),
  fullScaleDb: optional(z.number().min(-300).max(400)),
  channel: optional(z.number().int().min(1).max(64)),
  microphone: optional(text),
  conditions: optional(conditions),
});

export const manifestSchema = z.object({
  conditions: optional(conditions),
  mirrorHorizontal: optional(z.boolean()),
  fullScaleDb: optional(z.number().min(-300).max(400)),
  files: optional(z.array(file).max(10_000)),
});

export type Manifest = z.output<typeof manifestSchema>;
export type ManifestFile = z.output<typeof file>;

const keysOf = (schema: { shape: object }): readonly string[] => Object.keys(schema.shape);
/** The keys that mean something, by place; the rest is noted as not understood. */
export const KNOWN_KEYS = {
  manifest: keysOf(manifestSchema),
  conditions: keysOf(conditions),
  file: keysOf(file),
} as const;
