import type { Dataset, File as Hdf5File } from 'h5wasm';

/** Why an HDF5 file can't be used. */
export class Hdf5Fault extends Error {}

type H5wasm = typeof import('h5wasm');

let loaded: Promise<{ h5: H5wasm; FS: EmscriptenFileSystem }> | undefined;

interface EmscriptenFileSystem {
  writeFile(path: string, data: Uint8Array): void;
  readFile(path: string): Uint8Array;
  unlink(path: string): void;
  readonly streams: readonly ({ readonly tty?: { ops: unknown } } | null)[];
}

/**
 * Loads the HDF5 library (WebAssembly, some 4 MB) when the first file needs it. The build with a file system of
 * its own in memory is used on purpose: a hostile file can link to other files, and here there are none.
 */
async function load(): Promise<{ h5: H5wasm; FS: EmscriptenFileSystem }> {
  const h5 = await import('h5wasm');
  const module = await h5.ready;
  const FS = module.FS as unknown as EmscriptenFileSystem;
  // The library prints its error stack; ours say it in one line.
  for (const stream of FS.streams) if (stream?.tty) stream.tty.ops = { put_char() {}, fsync() {} };
  return { h5, FS };
}

let fileNumber = 0;

/** Opens the bytes as an HDF5 file for the time `use` runs. Throws Hdf5Fault when the library can't. */
export async function readHdf5<T>(bytes: Uint8Array, use: (file: Hdf5File) => T): Promise<T> {
  loaded ??= load();
  const { h5, FS } = await loaded;
  fileNumber += 1;
  const path = `/read-${fileNumber}`;
  FS.writeFile(path, bytes);
  let file: Hdf5File | undefined;
  try {
    file = new h5.File(path, 'r');
    if (file.file_id < 0n) throw new Hdf5Fault('it is not an HDF5 file');
    return use(file);
  } catch (cause) {
    throw asFault(cause);
  } finally {
    if (file !== undefined && file.file_id >= 0n) file.close();
    FS.unlink(path);
  }
}

/** Builds an HDF5 file in memory and returns its bytes: the same ones for the same content, whenever it is built. */
export async function writeHdf5(build: (file: Hdf5File) => void): Promise<Uint8Array> {
  loaded ??= load();
  const { h5, FS } = await loaded;
  fileNumber += 1;
  const path = `/write-${fileNumber}`;
  atOneInstant(() => {
    const file = new h5.File(path, 'w', { track_order: true });
    try {
      build(file);
    } finally {
      file.close();
    }
  });
  const bytes = FS.readFile(path);
  FS.unlink(path);
  return bytes;
}

/**
 * The library writes the time of day beside every object and offers no way to leave it out. What the data is dated is
 * said in its attributes, so its clock stands still while it writes: nothing else runs meanwhile.
 */
function atOneInstant(work: () => void): void {
  const clock = Date.now;
  Date.now = () => 0;
  try {
    work();
  } finally {
    Date.now = clock;
  }
}

/**
 * The library throws plain errors, numbers (C++ exceptions) and traps of its WebAssembly; a shape it believes
 * may ask for an impossible array. Everything else (our own faults, mistakes in this code) stays what it is.
 */
function asFault(cause: unknown): unknown {
  if (!(cause instanceof Error)) return new Hdf5Fault('the HDF5 library gave up on it');
  const fromLibrary =
    cause.constructor === Error || cause.name === 'RuntimeError' || cause instanceof RangeError;
  return fromLibrary ? new Hdf5Fault(cause.message, { cause }) : cause;
}

/** A variable's numbers in row-major order, with its shape. */
export interface Variable {
  readonly name: string;
  readonly shape: readonly number[];
  readonly dataset: Dataset;
}

const INTEGER = 0;
const FLOAT = 1;

/** The numeric variable of that name; undefined when there is none. Throws Hdf5Fault for another kind of object. */
export function findVariable(file: Hdf5File, name: string): Variable | undefined {
  if (!file.keys().includes(name)) return undefined;
  const found = file.get(name);
  if (found === null || !('metadata' in found) || !('slice' in found))
    throw new Hdf5Fault(`${name} is not a variable`);
  const dataset = found;
  const { type, vlen, shape } = dataset.metadata;
  if ((type !== INTEGER && type !== FLOAT) || vlen) throw new Hdf5Fault(`${name} does not hold numbers`);
  return { name, shape: shape ?? [], dataset };
}

/** All numbers of a variable, or the block given by `[from, to)` per dimension. */
export function readNumbers(
  variable: Variable,
  block?: readonly (readonly [number, number])[],
): Float64Array {
  const { dataset, name } = variable;
  const value = block === undefined ? dataset.value : dataset.slice(block.map(([from, to]) => [from, to]));
  if (typeof value === 'number') return Float64Array.of(value);
  if (value instanceof Float64Array) return value;
  if (!ArrayBuffer.isView(value) || value instanceof DataView)
    throw new Hdf5Fault(`${name} does not hold numbers`);
  return Float64Array.from(value as unknown as ArrayLike<number | bigint>, Number);
}

/** An attribute's text; '' for an empty one (which the library gives as null), undefined when there is none. */
export function readText(owner: Pick<Dataset, 'attrs'>, name: string): string | undefined {
  const { attrs } = owner;
  if (!Object.hasOwn(attrs, name)) return undefined;
  const { value } = attrs[name];
  if (value === null) return '';
  const text = Array.isArray(value) ? value[0] : value;
  return typeof text === 'string' ? text.replace(/\0+$/, '').trim() : undefined;
}
