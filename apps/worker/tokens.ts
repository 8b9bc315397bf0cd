export const COMPUTE_POOL = Symbol('compute pool');
