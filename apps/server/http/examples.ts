/**
 * Examples of the main routes for programs, all of one invented loan: what a later one names was made by an earlier
 * one. `test/seams/openapiExamples.test.ts` takes them out of the document and runs them.
 */
import { z } from 'zod';
import * as answers from './answers.js';

export interface RouteExample {
  /** Method and path as the document writes it. */
  readonly route: string;
  readonly parameters?: Readonly<Record<string, string | number>>;
  /** Sent as JSON; text as it stands. */
  readonly body?: object | string;
  readonly status: number;
  readonly schema: z.ZodType;
  readonly answer: unknown;
}

const MAKER = '0197c1a2-3b60-7c11-9d5e-2f8a6b3c1d01';
const LOAN = '0197c1a2-3b60-7c11-9d5e-2f8a6b3c1d02';
const UNIT = '0197c1a2-3b60-7c11-9d5e-2f8a6b3c1d03';
const SET = '0197c1a2-3b60-7c11-9d5e-2f8a6b3c1d04';
const FILE = '0197c1a2-3b60-7c11-9d5e-2f8a6b3c1d05';
const ANALYSIS = '0197c1a2-3b60-7c11-9d5e-2f8a6b3c1d06';
const SHA256 = 'c2f1a6b0d4e35798a1b2c3d4e5f60718293a4b5c6d7e8f90a1b2c3d4e5f60718';
const AT = '2031-05-02T09:30:00.000Z';

/** An invented box resonance at 60 Hz, as an impedance rig writes it: eight points to the octave over ten octaves. */
function impedanceFile(): string {
  const lines = ['frequency_hz,impedance_ohm,phase_deg'];
  for (let step = 0; step <= 80; step++) {
    const hz = 19.8 * 2 ** (step / 8);
    const detune = 4 * (hz / 60 - 60 / hz);
    const peak = 14 / (1 + detune ** 2);
    lines.push(`${hz.toFixed(2)},${(6 + peak).toFixed(3)},${(-peak * detune).toFixed(2)}`);
  }
  return `${lines.join('\n')}\n`;
}

const maker = {
  id: MAKER,
  name: 'Wren & Sedge (invented)',
  website: '',
  notes: '',
  contacts: [],
  loanCount: 0,
  invented: false,
  version: 1,
};
const loan = {
  id: LOAN,
  title: 'Heron 3 for review',
  makerId: MAKER,
  makerName: maker.name,
  stage: 'requested',
  arrivedOn: null,
  returnBy: '2031-06-30',
  embargoUntil: null,
  publishedAt: null,
  invented: false,
  units: [],
  version: 1,
};
const unit = {
  id: UNIT,
  loanId: LOAN,
  name: 'Heron 3',
  kind: 'standmount',
  serial: 'HR-3 00120',
  priceMinor: 189_000,
  currency: 'EUR',
  invented: false,
  version: 1,
};
const set = {
  id: SET,
  unitId: UNIT,
  name: 'Impedance',
  setAsideWhy: null,
  invented: false,
  version: 1,
  createdAt: AT,
  files: [],
  analyses: [],
};
const file = { id: FILE, name: 'impedance.csv', sha256: SHA256, bytes: 1723, uploadedAt: AT };
const analysis = {
  id: ANALYSIS,
  setId: SET,
  state: 'queued',
  progress: 0,
  algorithmVersion: '1.0.0',
  inputs: [{ file: 'impedance.csv', sha256: SHA256 }],
  problems: [],
  quality: [],
  figures: [],
  summary: null,
  resultUrl: null,
};
const address = `/api/analyses/${ANALYSIS}`;
const done = {
  ...analysis,
  state: 'done',
  progress: 1,
  figures: [
    {
      name: 'impedance',
      title: 'Impedance',
      svgUrl: `${address}/figures/impedance.svg`,
      csvUrl: `${address}/figures/impedance.csv`,
    },
  ],
  summary: { minimumOhm: 6, ratedOhm: 7.5, epdrMinimumOhm: 3.8 },
  resultUrl: `${address}/result`,
};
const event = { number: 12, at: AT, room: 'team', type: 'analysis-finished', payload: { id: ANALYSIS } };

export const examples: readonly RouteExample[] = [
  {
    route: 'POST /api/makers',
    body: { name: maker.name },
    status: 201,
    schema: answers.Maker,
    answer: maker,
  },
  {
    route: 'GET /api/makers/{id}',
    parameters: { id: MAKER },
    status: 200,
    schema: answers.Maker,
    answer: { ...maker, loanCount: 1 },
  },
  {
    route: 'POST /api/loans',
    body: { makerId: MAKER, title: loan.title, returnBy: loan.returnBy },
    status: 201,
    schema: answers.Loan,
    answer: loan,
  },
  {
    route: 'GET /api/loans',
    parameters: { show: 'open', text: 'heron', limit: 20 },
    status: 200,
    schema: answers.Loans,
    answer: [
      {
        ...loan,
        units: [{ id: UNIT, name: unit.name, kind: unit.kind, missing: 9, blocking: 0, sealedForYou: false }],
        version: 2,
      },
    ],
  },
  {
    route: 'PATCH /api/loans/{id}',
    parameters: { id: LOAN },
    body: { version: 1, notes: 'Two crates.' },
    status: 200,
    schema: answers.Loan,
    answer: { ...loan, version: 2 },
  },
  {
    route: 'POST /api/loans/{id}/units',
    parameters: { id: LOAN },
    body: { name: unit.name, kind: unit.kind, serial: unit.serial, priceMinor: unit.priceMinor },
    status: 201,
    schema: answers.Unit,
    answer: unit,
  },
  {
    route: 'POST /api/units/{id}/sets',
    parameters: { id: UNIT },
    body: { name: set.name },
    status: 201,
    schema: answers.MeasurementSet,
    answer: set,
  },
  {
    route: 'PUT /api/sets/{id}/files',
    parameters: { id: SET, name: file.name },
    body: impedanceFile(),
    status: 200,
    schema: answers.KeptFiles,
    answer: { kept: [file], problems: [] },
  },
  {
    route: 'POST /api/sets/{id}/analyses',
    parameters: { id: SET },
    body: {},
    status: 201,
    schema: answers.Analysis,
    answer: analysis,
  },
  {
    route: 'GET /api/analyses/{id}',
    parameters: { id: ANALYSIS },
    status: 200,
    schema: answers.Analysis,
    answer: done,
  },
  {
    route: 'GET /api/units/{id}/sets',
    parameters: { id: UNIT },
    status: 200,
    schema: answers.MeasurementSets,
    answer: [{ ...set, files: [file], analyses: [done] }],
  },
  {
    route: 'GET /api/feed',
    parameters: { room: 'team', after: 0 },
    status: 200,
    schema: answers.Feed,
    answer: { events: [event], upTo: 12, more: false },
  },
];
