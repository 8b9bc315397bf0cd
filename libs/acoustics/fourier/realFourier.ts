import instantiate from '@echogarden/pffft-wasm/simd';

/**
 * Discrete Fourier transforms of real signals, `size` samples long, in 32-bit floats.
 *
 * A spectrum is `size` floats: [X(0), X(size/2), Re X(1), Im X(1), Re X(2), Im X(2), ...] with
 * X(k) = sum over n of x(n) exp(-2 pi i k n / size). The error is about 2e-7 of the spectrum's root mean
 * square (tested against a 64-bit transform), some 134 dB down: below a 24-bit converter's own noise in a
 * room, so there is no second, 64-bit path.
 *
 * The arrays handed to the callbacks are views of shared scratch memory: fill or read them, and keep nothing.
 * Calls may not nest.
 */
export interface RealFourier {
  readonly size: number;
  /** `fill` writes all `size` samples; `read` sees the spectrum. */
  forward<T>(fill: (samples: Float32Array) => void, read: (spectrum: Float32Array) => T): T;
  /** `fill` writes a spectrum; `read` sees the samples, scaled so that `inverse` undoes `forward`. */
  inverse<T>(fill: (spectrum: Float32Array) => void, read: (samples: Float32Array) => T): T;
  /** Keeps a spectrum in the order `filter` multiplies in. */
  kernel(fill: (spectrum: Float32Array) => void): FourierKernel;
  /** Circular convolution of what `fill` writes with a kernel. */
  filter<T>(
    fill: (samples: Float32Array) => void,
    kernel: FourierKernel,
    read: (samples: Float32Array) => T,
  ): T;
}

/** A spectrum in the transform's own order; only for `filter` of the same size. */
export interface FourierKernel {
  readonly size: number;
  readonly data: Float32Array;
}

const FORWARD = 0;
const BACKWARD = 1;
const REAL = 0;
const FLOAT_BYTES = 4;
/** Set-ups (twiddle factors, 4 bytes a sample) kept for reuse. */
const SETUPS_KEPT = 6;

// Instantiated while the module loads, so that every use afterwards is synchronous.
const pffft = await instantiate();

const setups = new Map<number, number>();
let scratch = { size: 0, first: 0, second: 0, work: 0 };
let busy = false;

function setupFor(size: number): number {
  const known = setups.get(size);
  if (known !== undefined) {
    setups.delete(size);
    setups.set(size, known);
    return known;
  }
  const setup = pffft._pffft_new_setup(size, REAL);
  if (setup === 0) throw new RangeError(`no transform of ${size} samples: use fastSize() to choose one`);
  setups.set(size, setup);
  const oldest = setups.entries().next().value;
  if (setups.size > SETUPS_KEPT && oldest) {
    setups.delete(oldest[0]);
    pffft._pffft_destroy_setup(oldest[1]);
  }
  return setup;
}

function allocate(floats: number): number {
  const pointer = pffft._pffft_aligned_malloc(floats * FLOAT_BYTES);
  if (pointer === 0) throw new RangeError(`no memory for a transform of ${floats} samples`);
  return pointer;
}

function reserve(size: number): void {
  if (scratch.size >= size) return;
  for (const pointer of [scratch.first, scratch.second, scratch.work])
    if (pointer !== 0) pffft._pffft_aligned_free(pointer);
  scratch = { size: 0, first: 0, second: 0, work: 0 };
  scratch = { size, first: allocate(size), second: allocate(size), work: allocate(size) };
}

function view(pointer: number, size: number): Float32Array {
  return pffft.HEAPF32.subarray(pointer / FLOAT_BYTES, pointer / FLOAT_BYTES + size);
}

function exclusively<T>(size: number, run: (setup: number) => T): T {
  if (busy) throw new Error('Fourier transforms share memory and may not nest');
  busy = true;
  try {
    const setup = setupFor(size);
    reserve(size);
    return run(setup);
  } finally {
    busy = false;
  }
}

function scaled(samples: Float32Array, factor: number): Float32Array {
  for (let i = 0; i < samples.length; i++) samples[i] *= factor;
  return samples;
}

/**
 * A transform of `size` real samples: see {@link RealFourier}.
 *
 * @param size 32 x 2^a 3^b 5^c, as {@link fastSize} gives; anything else throws a RangeError.
 */
export function realFourier(size: number): RealFourier {
  if (!Number.isInteger(size) || size < 32 || size % 32 !== 0)
    throw new RangeError(`no transform of ${size} samples: use fastSize() to choose one`);
  return {
    size,
    forward: (fill, read) =>
      exclusively(size, (setup) => {
        const { first, second, work } = scratch;
        fill(view(first, size));
        pffft._pffft_transform(setup, first, second, work, FORWARD);
        pffft._pffft_zreorder(setup, second, first, FORWARD);
        return read(view(first, size));
      }),
    inverse: (fill, read) =>
      exclusively(size, (setup) => {
        const { first, second, work } = scratch;
        fill(view(first, size));
        pffft._pffft_zreorder(setup, first, second, BACKWARD);
        pffft._pffft_transform(setup, second, first, work, BACKWARD);
        return read(scaled(view(first, size), 1 / size));
      }),
    kernel: (fill) =>
      exclusively(size, (setup) => {
        fill(view(scratch.first, size));
        pffft._pffft_zreorder(setup, scratch.first, scratch.second, BACKWARD);
        return { size, data: view(scratch.second, size).slice() };
      }),
    filter: (fill, kernel, read) =>
      exclusively(size, (setup) => {
        if (kernel.size !== size)
          throw new RangeError(`a kernel of ${kernel.size} in a transform of ${size}`);
        const { first, second, work } = scratch;
        fill(view(first, size));
        pffft._pffft_transform(setup, first, second, work, FORWARD);
        view(first, size).set(kernel.data);
        view(work, size).fill(0);
        pffft._pffft_zconvolve_accumulate(setup, second, first, work, 1 / size);
        pffft._pffft_transform(setup, work, first, second, BACKWARD);
        return read(view(first, size));
      }),
  };
}
