import type { File as Hdf5File } from 'h5wasm';
import type { AngleResponse } from '../../acoustics/series.js';
import { writeHdf5 } from './hdf5.js';
import { PASCAL_DB } from './takeOrbits.js';

/** What AES69 asks to be stated about the data. Empty texts are allowed; times are the caller's. */
export interface SofaStatement {
  readonly title: string;
  readonly createdAt: Date;
  readonly modifiedAt: Date;
  readonly authorContact: string;
  readonly organization: string;
  readonly license: string;
  readonly databaseName: string;
  /** For instance "two-way loudspeaker". */
  readonly sourceType: string;
  readonly sourceManufacturer: string;
  /** Where the reference point lies, for instance "on the baffle, between the drivers". */
  readonly referencePoint: string;
  readonly applicationVersion: string;
  readonly comment?: string;
}

interface Placed {
  readonly azimuthDeg: number;
  readonly elevationDeg: number;
  readonly response: AngleResponse;
}

/** What the dimension scales of netCDF-4 are called when they carry no values. */
const PLAIN_DIMENSION = 'This is a netCDF dimension but not a netCDF variable.';

/**
 * Writes the two orbits as a SOFA file: FreeFieldDirectivityTF 1.1 (AES69), one measurement, one receiver per
 * direction, pressures in pascal. Directions that both orbits share (0 and 180) are written once. Where a
 * response has no phase its values are real and positive, and `Comment` says so.
 *
 * @param responses levels in dB SPL on one common frequency grid, at least one
 * @param distanceM radius of the microphones, metres
 * @throws RangeError when there is no response, or their frequencies differ
 */
export async function writeSofa(
  responses: readonly AngleResponse[],
  distanceM: number,
  statement: SofaStatement,
): Promise<Uint8Array> {
  const placed = placeAll(responses);
  const first = placed[0];
  if (first === undefined) throw new RangeError('a SOFA file needs at least one response');
  const { frequencyHz } = first.response;
  for (const { response } of placed) {
    const same = response.frequencyHz.length === frequencyHz.length;
    if (!same || response.frequencyHz.some((hz, at) => hz !== frequencyHz[at])) {
      throw new RangeError('all responses must share one frequency grid');
    }
  }
  return writeHdf5((file) => {
    writeStatement(file, statement, placed);
    writeDimensions(file, { M: 1, R: placed.length, E: 1, I: 1, C: 3 });
    writeAxis(file, frequencyHz);
    writeGeometry(file, placed, distanceM, statement.referencePoint);
    writeData(file, placed, frequencyHz.length);
  });
}

/** Horizontal first; a direction that is already there is not repeated. */
function placeAll(responses: readonly AngleResponse[]): Placed[] {
  const placed = new Map<string, Placed>();
  const ordered = [...responses].sort((a, b) =>
    a.orbit === b.orbit ? a.angleDeg - b.angleDeg : a.orbit < b.orbit ? -1 : 1,
  );
  for (const response of ordered) {
    const place = { ...direction(response), response };
    const key = `${place.azimuthDeg} ${place.elevationDeg}`;
    if (!placed.has(key)) placed.set(key, place);
  }
  return [...placed.values()];
}

/** Orbit angle to azimuth 0..<360 and elevation -90..90. */
function direction({ orbit, angleDeg }: AngleResponse): { azimuthDeg: number; elevationDeg: number } {
  if (orbit === 'horizontal') return { azimuthDeg: (angleDeg + 360) % 360, elevationDeg: 0 };
  if (Math.abs(angleDeg) <= 90) return { azimuthDeg: 0, elevationDeg: angleDeg };
  return { azimuthDeg: 180, elevationDeg: Math.sign(angleDeg) * (180 - Math.abs(angleDeg)) + 0 };
}

function writeStatement(file: Hdf5File, statement: SofaStatement, placed: readonly Placed[]): void {
  const silent = placed.filter(({ response }) => response.phaseDeg === undefined).length;
  const phases =
    silent === 0 ? '' : `${silent} of ${placed.length} responses have no phase: their values are magnitudes.`;
  const global: Readonly<Record<string, string>> = {
    Conventions: 'SOFA',
    Version: '2.1',
    SOFAConventions: 'FreeFieldDirectivityTF',
    SOFAConventionsVersion: '1.1',
    DataType: 'TF',
    RoomType: 'free field',
    Title: statement.title,
    DateCreated: sofaDate(statement.createdAt),
    DateModified: sofaDate(statement.modifiedAt),
    APIName: 'Sojourn',
    APIVersion: statement.applicationVersion,
    ApplicationName: 'Sojourn',
    ApplicationVersion: statement.applicationVersion,
    AuthorContact: statement.authorContact,
    Organization: statement.organization,
    License: statement.license,
    DatabaseName: statement.databaseName,
    SourceType: statement.sourceType,
    SourceManufacturer: statement.sourceManufacturer,
    Comment: [statement.comment ?? '', phases].filter((text) => text !== '').join(' '),
  };
  for (const [name, value] of Object.entries(global)) {
    if (name !== 'Comment' || value !== '') writeText(file, name, value);
  }
}

/** AES69: `yyyy-mm-dd hh:mm:ss`, here in UTC. */
function sofaDate(date: Date): string {
  return date.toISOString().slice(0, 19).replace('T', ' ');
}

/** netCDF reads text from fixed-length strings as `char`; an empty one needs a byte to exist at all. */
function writeText(
  owner: { create_attribute: Hdf5File['create_attribute'] },
  name: string,
  value: string,
): void {
  const text = value === '' ? ' ' : value;
  owner.create_attribute(name, text, [], `S${Buffer.byteLength(text)}`);
}

function writeDimensions(file: Hdf5File, sizes: Readonly<Record<string, number>>): void {
  for (const [name, size] of Object.entries(sizes)) {
    const scale = file.create_dataset({ name, data: new Float32Array(size), shape: [size], dtype: '<f' });
    scale.make_scale(`${PLAIN_DIMENSION}${String(size).padStart(10)}`);
  }
}

function writeAxis(file: Hdf5File, frequencyHz: Float64Array): void {
  const axis = file.create_dataset({
    name: 'N',
    data: frequencyHz,
    shape: [frequencyHz.length],
    dtype: '<d',
  });
  axis.make_scale('N');
  writeText(axis, 'LongName', 'frequency');
  writeText(axis, 'Units', 'hertz');
}

function writeVariable(
  file: Hdf5File,
  name: string,
  dimensions: string,
  shape: number[],
  data: Float64Array,
  attributes: Readonly<Record<string, string>>,
): void {
  const variable = file.create_dataset({ name, data, shape, dtype: '<d' });
  dimensions.split('').forEach((dimension, at) => variable.attach_scale(at, `/${dimension}`));
  for (const [attribute, value] of Object.entries(attributes)) writeText(variable, attribute, value);
}

function writeGeometry(
  file: Hdf5File,
  placed: readonly Placed[],
  distanceM: number,
  reference: string,
): void {
  const cartesian = { Type: 'cartesian', Units: 'metre' };
  const origin = () => new Float64Array(3);
  writeVariable(file, 'ListenerPosition', 'IC', [1, 3], origin(), cartesian);
  writeVariable(file, 'ListenerView', 'IC', [1, 3], Float64Array.of(1, 0, 0), cartesian);
  writeVariable(file, 'ListenerUp', 'IC', [1, 3], Float64Array.of(0, 0, 1), {});
  const receivers = Float64Array.from(
    placed.flatMap(({ azimuthDeg, elevationDeg }) => [azimuthDeg, elevationDeg, distanceM]),
  );
  const spherical = { Type: 'spherical', Units: 'degree, degree, metre' };
  writeVariable(file, 'ReceiverPosition', 'RCI', [placed.length, 3, 1], receivers, spherical);
  writeVariable(file, 'SourcePosition', 'IC', [1, 3], origin(), { ...cartesian, Reference: reference });
  const view = { ...cartesian, Reference: 'Along the reference axis, towards the listener' };
  writeVariable(file, 'SourceView', 'IC', [1, 3], Float64Array.of(1, 0, 0), view);
  // The up vectors share their view's coordinates and have no type of their own in the convention.
  const up = { Reference: 'Towards the top of the loudspeaker' };
  writeVariable(file, 'SourceUp', 'IC', [1, 3], Float64Array.of(0, 0, 1), up);
  writeVariable(file, 'EmitterPosition', 'ECI', [1, 3, 1], origin(), cartesian);
}

function writeData(file: Hdf5File, placed: readonly Placed[], N: number): void {
  const real = new Float64Array(placed.length * N);
  const imaginary = new Float64Array(placed.length * N);
  placed.forEach(({ response: { levelDb, phaseDeg } }, r) => {
    for (let n = 0; n < N; n += 1) {
      const pascal = 10 ** ((levelDb[n] - PASCAL_DB) / 20);
      const phase = ((phaseDeg?.[n] ?? 0) * Math.PI) / 180;
      real[r * N + n] = pascal * Math.cos(phase);
      imaginary[r * N + n] = pascal * Math.sin(phase);
    }
  });
  const shape = [1, placed.length, N];
  writeVariable(file, 'Data.Real', 'MRN', shape, real, { Units: 'pascal' });
  writeVariable(file, 'Data.Imag', 'MRN', shape, imaginary, { Units: 'pascal' });
}
