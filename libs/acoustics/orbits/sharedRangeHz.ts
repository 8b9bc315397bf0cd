import type { AngleResponse } from '../series.js';

/** A set whose files share less than three octaves has an outlier among them. */
const LEAST_SHARED_RATIO = 8;

export interface SharedRange {
  readonly fromHz: number;
  readonly toHz: number;
  readonly kept: readonly AngleResponse[];
  readonly excluded: readonly AngleResponse[];
}

/**
 * The frequency range all responses cover. Where one file's range would leave less than three octaves to
 * all the others, that file is left out (and reported by the quality checks) instead.
 *
 * @param responses at least one
 */
export function sharedRangeHz(responses: readonly AngleResponse[]): SharedRange {
  const all = overlap(responses);
  if (all.toHz / all.fromHz >= LEAST_SHARED_RATIO) return { ...all, kept: responses, excluded: [] };
  const usualFrom = median(responses.map((response) => startHz(response)));
  const usualTo = median(responses.map((response) => endHz(response)));
  const kept = responses.filter(
    (response) => startHz(response) <= usualFrom * 2 && endHz(response) >= usualTo / 2,
  );
  const excluded = responses.filter((response) => !kept.includes(response));
  return { ...overlap(kept.length > 0 ? kept : responses), kept, excluded };
}

function startHz({ frequencyHz }: AngleResponse): number {
  return frequencyHz.find((hz) => hz > 0) ?? 0;
}

function endHz({ frequencyHz }: AngleResponse): number {
  return frequencyHz[frequencyHz.length - 1] ?? 0;
}

function overlap(responses: readonly AngleResponse[]): { fromHz: number; toHz: number } {
  return {
    fromHz: Math.max(...responses.map((response) => startHz(response))),
    toHz: Math.min(...responses.map((response) => endHz(response))),
  };
}

function median(values: number[]): number {
  return values.sort((one, other) => one - other)[values.length >> 1];
}
