/**
 * Rises whenever the same files and settings could give other numbers, so that results computed before
 * can be told apart and recomputed.
 */
export const ALGORITHM_VERSION = '1.0.0';
