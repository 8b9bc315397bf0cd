import type { File as Hdf5File } from 'h5wasm';
import type { ReadLimits } from '../limits.js';
import type { ProblemCode } from '../problem.js';
import { findVariable, readNumbers, readText, type Variable } from './hdf5.js';

/** A reason a well-formed HDF5 file can't be used as SOFA directivity. */
export class SofaFault extends Error {
  constructor(
    readonly code: ProblemCode,
    message: string,
    readonly remedy: string,
  ) {
    super(message);
  }
}

const EXPORT = 'Export it again as FreeFieldDirectivityTF or FreeFieldDirectivityFIR (AES69).';

/** Sizes by AES69's letters: measurements, receivers, samples or frequencies, emitters. */
export interface Sizes {
  readonly M: number;
  readonly R: number;
  readonly N: number;
  readonly E: number;
}

/** A SOFA file whose shapes have been checked against each other. */
export interface OpenSofa {
  readonly file: Hdf5File;
  readonly conventions: string;
  readonly sizes: Sizes;
  readonly data: TransferData | ImpulseData;
}

export interface TransferData {
  readonly kind: 'TF';
  readonly frequencyHz: Float64Array;
  readonly real: Variable;
  readonly imaginary: Variable;
  /** As stated on the data, lower case; '' when not. */
  readonly units: string;
}

export interface ImpulseData {
  readonly kind: 'FIR';
  readonly sampleRateHz: number;
  readonly impulses: Variable;
  readonly units: string;
}

/** Conventions that hold what a source radiates. Head-related and room conventions do not. */
const CONVENTIONS =
  /^(FreeFieldDirectivityTF|FreeFieldDirectivityFIR|SimpleFreeFieldDirectivityTF|GeneralTF|GeneralFIR|GeneralTF-?E|GeneralFIR-?E)$/;

/** Checks what the file says it is and that every shape agrees, before any data is read. */
export function openSofa(file: Hdf5File, limits: ReadLimits): OpenSofa {
  if (readText(file, 'Conventions') !== 'SOFA') {
    throw new SofaFault(
      'not-sofa',
      'This is an HDF5 file but not SOFA: its "Conventions" does not say so.',
      EXPORT,
    );
  }
  const conventions = readText(file, 'SOFAConventions') ?? '';
  if (!CONVENTIONS.test(conventions)) {
    const message = `Its convention is ${conventions === '' ? 'not stated' : `"${conventions.slice(0, 60)}"`}, which does not hold the directivity of a loudspeaker.`;
    throw new SofaFault('sofa-convention', message, EXPORT);
  }
  const type = readText(file, 'DataType') ?? '';
  if (/^TF(-?E)?$/.test(type)) return { file, conventions, ...openTransfer(file, limits) };
  if (/^FIR(-?E)?$/.test(type)) return { file, conventions, ...openImpulses(file, limits) };
  const message = `Its data type is "${type.slice(0, 60)}"; TF and FIR are read.`;
  throw new SofaFault('sofa-convention', message, EXPORT);
}

function openTransfer(file: Hdf5File, limits: ReadLimits): { sizes: Sizes; data: TransferData } {
  const real = needVariable(file, 'Data.Real');
  const imaginary = needVariable(file, 'Data.Imag');
  const axis = needVariable(file, 'N');
  const sizes = sizesOf(real, limits);
  if (imaginary.shape.join() !== real.shape.join()) {
    throw shapeFault(
      `Data.Imag has shape ${sayShape(imaginary.shape)} and Data.Real ${sayShape(real.shape)}`,
    );
  }
  if (axis.shape.length !== 1 || axis.shape[0] !== sizes.N) {
    throw shapeFault(`N has shape ${sayShape(axis.shape)} and the data ${sizes.N} frequencies`);
  }
  const units = (readText(real.dataset, 'Units') ?? '').toLowerCase();
  return { sizes, data: { kind: 'TF', frequencyHz: readAxis(axis), real, imaginary, units } };
}

function readAxis(axis: Variable): Float64Array {
  const factor = /^k(ilo)?h/i.test(readText(axis.dataset, 'Units') ?? '') ? 1000 : 1;
  const frequencyHz = readNumbers(axis).map((value) => value * factor);
  const bad = frequencyHz.findIndex(
    (hz, at) => !(Number.isFinite(hz) && hz >= 0 && (at === 0 || hz > frequencyHz[at - 1])),
  );
  if (bad < 0) return frequencyHz;
  const message = `The frequencies (N) must rise and be finite; value ${bad + 1} of ${frequencyHz.length} is ${frequencyHz[bad]} Hz.`;
  throw new SofaFault('sofa-value', message, EXPORT);
}

function openImpulses(file: Hdf5File, limits: ReadLimits): { sizes: Sizes; data: ImpulseData } {
  const impulses = needVariable(file, 'Data.IR');
  const sizes = sizesOf(impulses, limits);
  const rate = needVariable(file, 'Data.SamplingRate');
  if (productOf(rate.shape) !== 1 && productOf(rate.shape) !== sizes.M) {
    throw shapeFault(`Data.SamplingRate has shape ${sayShape(rate.shape)}`);
  }
  const rates = readNumbers(rate);
  const sampleRateHz = rates[0];
  if (!(sampleRateHz >= 4000 && sampleRateHz <= 1_600_000) || rates.some((other) => other !== sampleRateHz)) {
    throw new SofaFault(
      'sofa-value',
      `The sample rate is ${sampleRateHz} Hz or changes within the file.`,
      EXPORT,
    );
  }
  const units = (readText(impulses.dataset, 'Units') ?? '').toLowerCase();
  return { sizes, data: { kind: 'FIR', sampleRateHz, impulses, units } };
}

function needVariable(file: Hdf5File, name: string): Variable {
  const variable = findVariable(file, name);
  if (variable === undefined) throw new SofaFault('sofa-shape', `The variable ${name} is missing.`, EXPORT);
  return variable;
}

/** Data is M x R x N, or M x R x N x E. */
function sizesOf({ name, shape }: Variable, limits: ReadLimits): Sizes {
  const [M = 0, R = 0, N = 0, E = 1] = shape;
  const directions = M * R * E;
  if ((shape.length !== 3 && shape.length !== 4) || directions < 1 || N < 1) {
    throw shapeFault(`${name} has shape ${sayShape(shape)}`);
  }
  if (directions > limits.sofaDirections || N > limits.sofaLength) {
    const message = `It holds ${directions} directions of ${N} values; at most ${limits.sofaDirections} of ${limits.sofaLength} are read.`;
    throw new SofaFault('file-too-large', message, 'Export fewer directions or a shorter response.');
  }
  return { M, R, N, E };
}

export function shapeFault(what: string): SofaFault {
  return new SofaFault('sofa-shape', `Its shapes do not fit together: ${what}.`, EXPORT);
}

export function sayShape(shape: readonly number[]): string {
  return shape.length === 0 ? 'of a single number' : shape.join(' x ');
}

export function productOf(shape: readonly number[]): number {
  return shape.reduce((product, size) => product * size, 1);
}
