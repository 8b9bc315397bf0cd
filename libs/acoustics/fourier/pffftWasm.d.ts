/** The part of PFFFT (BSD licence, compiled to WebAssembly with 128-bit SIMD) that `realFourier` uses. */
declare module '@echogarden/pffft-wasm/simd' {
  interface PffftModule {
    /** The heap as floats; replaced whenever the heap grows, so never kept across an allocation. */
    readonly HEAPF32: Float32Array;
    _pffft_aligned_malloc(bytes: number): number;
    _pffft_aligned_free(pointer: number): void;
    _pffft_new_setup(size: number, transform: number): number;
    _pffft_destroy_setup(setup: number): void;
    _pffft_transform(setup: number, input: number, output: number, work: number, direction: number): void;
    _pffft_zreorder(setup: number, input: number, output: number, direction: number): void;
    _pffft_zconvolve_accumulate(setup: number, a: number, b: number, sum: number, scale: number): void;
  }
  export default function instantiate(): Promise<PffftModule>;
}
