/** What the main routes for programs answer, as schemas; the types hold them to what the routes return. */
import { z } from 'zod';
import * as contract from '../../../libs/contracts/index.js';

const id = z.uuid();
const day = z.iso.date().nullable();
const instant = z.iso.datetime();
const invented = z.boolean().describe('Marked as invented, wherever it is shown');
const version = z.number().int().min(1).describe('Send it back with a change');

export const Maker = z.object({
  id,
  name: z.string(),
  website: z.string(),
  notes: z.string(),
  contacts: z.array(
    z.object({ id, name: z.string(), email: z.string(), phone: z.string(), duty: z.string() }),
  ),
  loanCount: z.number().int().min(0),
  invented,
  version,
}) satisfies z.ZodType<contract.MakerView>;

/** The fields that lists show; one loan alone says more. */
export const Loan = z.looseObject({
  id,
  title: z.string(),
  makerId: id,
  makerName: z.string(),
  stage: contract.Stage,
  arrivedOn: day,
  returnBy: day,
  embargoUntil: instant.nullable(),
  publishedAt: instant.nullable(),
  invented,
  units: z.array(
    z.looseObject({
      id,
      name: z.string(),
      kind: contract.UnitKind,
      missing: z.number().int().describe('Planned data sets that are not there yet'),
      blocking: z.number().int().describe('Findings that stand in the way of publishing'),
      sealedForYou: z.boolean().describe('Its results are kept from you while you listen blind'),
    }),
  ),
  version,
});
type ListedLoan = Pick<contract.LoanSummary, keyof typeof Loan.shape>;
export const Loans = z.array(Loan) satisfies z.ZodType<ListedLoan[]>;

export const Unit = z.looseObject({
  id,
  loanId: id,
  name: z.string(),
  kind: contract.UnitKind,
  serial: z.string(),
  priceMinor: z.number().int().nullable(),
  currency: z.string(),
  invented,
  version,
}) satisfies z.ZodType<Partial<contract.UnitView>>;

const File = z.object({
  id,
  name: z.string(),
  sha256: z.string().regex(/^[0-9a-f]{64}$/),
  bytes: z.number().int().min(0),
  uploadedAt: instant,
}) satisfies z.ZodType<contract.SetFileView>;
const Problem = z.object({
  file: z.string(),
  line: z.number().int().optional(),
  code: z.string(),
  message: z.string(),
  remedy: z.string(),
}) satisfies z.ZodType<contract.ProblemView>;
export const KeptFiles = z.object({
  kept: z.array(File),
  problems: z.array(Problem),
}) satisfies z.ZodType<contract.KeptFile>;

export const Analysis = z.looseObject({
  id,
  setId: id,
  state: z.enum(contract.computationStates),
  progress: z.number().min(0).max(1),
  algorithmVersion: z.string(),
  inputs: z.array(z.object({ file: z.string(), sha256: z.string() })),
  problems: z.array(Problem),
  quality: z.array(z.looseObject({ severity: contract.Severity, code: z.string(), message: z.string() })),
  figures: z.array(
    z.looseObject({ name: z.string(), title: z.string(), svgUrl: z.string(), csvUrl: z.string() }),
  ),
  summary: z
    .record(z.string(), z.union([z.number(), z.string()]).nullable())
    .nullable()
    .describe('The numbers at a glance; null until they are there'),
  resultUrl: z.string().nullable(),
});

export const MeasurementSet = z.object({
  id,
  unitId: id,
  name: z.string(),
  setAsideWhy: z.string().nullable(),
  invented,
  version,
  createdAt: instant,
  files: z.array(File),
  analyses: z.array(Analysis),
});
export const MeasurementSets = z.array(MeasurementSet);

export const Feed = z.object({
  events: z.array(
    z.object({
      number: z.number().int().describe('Ask again after the last one'),
      at: instant,
      room: z.string(),
      type: z.string(),
      payload: z.looseObject({}),
    }),
  ),
  upTo: z.number().int(),
  more: z.boolean().describe('There are more already'),
});
