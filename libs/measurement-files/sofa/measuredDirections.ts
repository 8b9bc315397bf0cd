import type { File as Hdf5File } from 'h5wasm';
import {
  add,
  angleBetween,
  frameOf,
  fromSpherical,
  into,
  length,
  outOf,
  subtract,
  unit,
  type Frame,
  type Vector,
} from './directions.js';
import { findVariable, readNumbers, readText } from './hdf5.js';
import { productOf, sayShape, shapeFault, SofaFault, type OpenSofa } from './openSofa.js';

/** One direction and where its data lies. */
export interface MeasuredDirection {
  /** Unit vector in the loudspeaker's own frame: ahead, left, up. */
  readonly direction: Vector;
  readonly distanceM: number;
  readonly m: number;
  readonly r: number;
  readonly e: number;
}

export interface Directions {
  readonly measured: readonly MeasuredDirection[];
  /** Which positions vary: where the directions were found. */
  readonly foundIn: 'receivers' | 'emitters';
  /** Responses left out because another one has the same direction. */
  readonly repeated: number;
}

const EXPORT =
  'Export it again with the microphone positions in ReceiverPosition and the loudspeaker in SourceView.';
/** Directions nearer than this are one. */
const SAME_DEG = 0.05;

type PositionOf = (m: number, item: number) => Vector;
type FrameAt = (m: number) => Frame;

/**
 * Works out, for every response, in which direction from the loudspeaker it was taken.
 *
 * Pure geometry covers every layout: microphones on a sphere (ReceiverPosition), one microphone carried round
 * (ListenerPosition), a loudspeaker on a turntable (SourceView). Only where all these stand still are the
 * emitters' positions taken as the directions, seen from the receiver.
 */
export function measuredDirections({ file, sizes }: OpenSofa): Directions {
  const listener = positions(file, 'Listener', sizes.M, undefined);
  const source = positions(file, 'Source', sizes.M, undefined);
  const receiver = positions(file, 'Receiver', sizes.R, sizes.M);
  const emitter = positions(file, 'Emitter', sizes.E, sizes.M);
  const listenerFrame = frames(file, 'Listener', sizes.M);
  const sourceFrame = frames(file, 'Source', sizes.M);
  refuseMovingSource(file, source, sizes.M);
  const all: MeasuredDirection[] = [];
  for (let m = 0; m < sizes.M; m += 1) {
    for (let r = 0; r < sizes.R; r += 1) {
      const microphone = add(listener(m, 0), outOf(listenerFrame(m), receiver(m, r)));
      all.push(...located(into(sourceFrame(m), subtract(microphone, source(m, 0))), m, r, 0));
    }
  }
  const byReceiver = distinct(all);
  if (byReceiver.length > 1 || sizes.E === 1) {
    return {
      measured: byReceiver,
      foundIn: 'receivers',
      repeated: sizes.M * sizes.R * sizes.E - byReceiver.length,
    };
  }
  const around: MeasuredDirection[] = [];
  for (let m = 0; m < sizes.M; m += 1) {
    for (let e = 0; e < sizes.E; e += 1) {
      const microphone = add(listener(m, 0), outOf(listenerFrame(m), receiver(m, 0)));
      const away = subtract(add(source(m, 0), outOf(sourceFrame(m), emitter(m, e))), microphone);
      around.push(...located(into(sourceFrame(m), away), m, 0, e));
    }
  }
  const byEmitter = distinct(around);
  return {
    measured: byEmitter,
    foundIn: 'emitters',
    repeated: sizes.M * sizes.R * sizes.E - byEmitter.length,
  };
}

function located(vector: Vector, m: number, r: number, e: number): MeasuredDirection[] {
  const direction = unit(vector);
  return direction === undefined ? [] : [{ direction, distanceM: length(vector), m, r, e }];
}

/** A source that moves without saying where it faces has no directions. */
function refuseMovingSource(file: Hdf5File, source: PositionOf, M: number): void {
  const moves = Array.from({ length: M }, (_, m) => m).some(
    (m) => length(subtract(source(m, 0), source(0, 0))) > 1e-6,
  );
  if (!moves || findVariable(file, 'SourceView') !== undefined) return;
  const message =
    'SourcePosition changes between measurements and SourceView does not say where the loudspeaker faces.';
  throw new SofaFault('sofa-directions', message, EXPORT);
}

/** Keeps the first of each direction. Sorted into bins of whole degrees, so that thousands stay quick. */
function distinct(all: readonly MeasuredDirection[]): MeasuredDirection[] {
  const bins = new Map<string, MeasuredDirection[]>();
  const size = 2 * Math.sin((SAME_DEG * Math.PI) / 360) * 20;
  const kept: MeasuredDirection[] = [];
  for (const candidate of all) {
    const [x, y, z] = candidate.direction.map((value) => Math.floor(value / size)) as [
      number,
      number,
      number,
    ];
    let twin = false;
    for (let dx = -1; dx <= 1 && !twin; dx += 1) {
      for (let dy = -1; dy <= 1 && !twin; dy += 1) {
        for (let dz = -1; dz <= 1 && !twin; dz += 1) {
          const bin = bins.get(`${x + dx},${y + dy},${z + dz}`) ?? [];
          twin = bin.some((other) => angleBetween(other.direction, candidate.direction) < SAME_DEG);
        }
      }
    }
    if (twin) continue;
    kept.push(candidate);
    const key = `${x},${y},${z}`;
    bins.set(key, [...(bins.get(key) ?? []), candidate]);
  }
  return kept;
}

/**
 * A position variable as a function of measurement and item, Cartesian metres. Its shape is [items or 1][3], and
 * may have a last dimension of measurements. `items` is M itself for listener and source.
 */
function positions(
  file: Hdf5File,
  owner: string,
  items: number,
  measurements: number | undefined,
): PositionOf {
  const name = `${owner}Position`;
  const variable = findVariable(file, name);
  if (variable === undefined) {
    if (owner === 'Receiver') throw new SofaFault('sofa-shape', `The variable ${name} is missing.`, EXPORT);
    return () => [0, 0, 0];
  }
  const [rows = 0, three = 0, layers = 1] = variable.shape;
  const layersFit = layers === 1 || layers === measurements;
  if (
    variable.shape.length < 2 ||
    variable.shape.length > 3 ||
    three !== 3 ||
    (rows !== 1 && rows !== items) ||
    !layersFit
  ) {
    throw shapeFault(`${name} has shape ${sayShape(variable.shape)}`);
  }
  if (productOf(variable.shape) > 10_000_000)
    throw shapeFault(`${name} has shape ${sayShape(variable.shape)}`);
  const values = readNumbers(variable);
  if (values.some((value) => !Number.isFinite(value))) {
    throw new SofaFault('sofa-value', `${name} holds a number that is not finite.`, EXPORT);
  }
  const toVector = converter(
    readText(variable.dataset, 'Type') ?? 'cartesian',
    readText(variable.dataset, 'Units') ?? '',
    name,
  );
  const unitRadius = toVector.spherical && everyRadiusIsZero(values, rows, layers);
  return (m, item) => {
    const row = rows === 1 ? 0 : measurements === undefined ? m : item;
    const layer = layers === 1 ? 0 : m;
    const at = (axis: number) => values[(row * 3 + axis) * layers + layer];
    // Some writers leave the radius out; the direction is still good.
    return toVector.convert(at(0), at(1), unitRadius ? 1 : at(2));
  };
}

function everyRadiusIsZero(values: Float64Array, rows: number, layers: number): boolean {
  if (rows < 2) return false;
  for (let row = 0; row < rows; row += 1) {
    for (let layer = 0; layer < layers; layer += 1)
      if (values[(row * 3 + 2) * layers + layer] !== 0) return false;
  }
  return true;
}

function converter(
  type: string,
  units: string,
  name: string,
): { spherical: boolean; convert: (a: number, b: number, c: number) => Vector } {
  if (/^cartesian$/i.test(type)) return { spherical: false, convert: (x, y, z) => [x, y, z] };
  if (!/^spherical$/i.test(type)) {
    throw new SofaFault(
      'sofa-directions',
      `${name} is in "${type.slice(0, 40)}" coordinates; cartesian and spherical are read.`,
      EXPORT,
    );
  }
  const degrees = /rad/i.test(units) ? 180 / Math.PI : 1;
  return { spherical: true, convert: (a, b, c) => fromSpherical(a * degrees, b * degrees, c) };
}

/** Where the listener or source looks, per measurement; straight ahead along x when the file does not say. */
function frames(file: Hdf5File, owner: string, M: number): FrameAt {
  const view = orientation(file, `${owner}View`, M, [1, 0, 0]);
  const up = orientation(file, `${owner}Up`, M, [0, 0, 1], readTypeOf(file, `${owner}View`));
  const made: Frame[] = [];
  return (m) => {
    const known = made[m];
    if (known !== undefined) return known;
    const frame = frameOf(view(m), up(m));
    if (frame === undefined) {
      throw new SofaFault(
        'sofa-directions',
        `${owner}View and ${owner}Up give no orientation in measurement ${m + 1}.`,
        EXPORT,
      );
    }
    made[m] = frame;
    return frame;
  };
}

function readTypeOf(file: Hdf5File, name: string): string {
  const variable = findVariable(file, name);
  return (variable === undefined ? undefined : readText(variable.dataset, 'Type')) ?? 'cartesian';
}

/** `Up` has no type of its own in AES69: it shares the view's, unless it says otherwise. */
function orientation(
  file: Hdf5File,
  name: string,
  M: number,
  standard: Vector,
  inherited = 'cartesian',
): (m: number) => Vector {
  const variable = findVariable(file, name);
  if (variable === undefined) return () => standard;
  const [rows = 0, three = 0] = variable.shape;
  if (variable.shape.length !== 2 || three !== 3 || (rows !== 1 && rows !== M)) {
    throw shapeFault(`${name} has shape ${sayShape(variable.shape)}`);
  }
  const values = readNumbers(variable);
  const { convert } = converter(
    readText(variable.dataset, 'Type') || inherited,
    readText(variable.dataset, 'Units') ?? '',
    name,
  );
  return (m) => {
    const row = rows === 1 ? 0 : m;
    return convert(values[row * 3], values[row * 3 + 1], values[row * 3 + 2]);
  };
}
