export const COMPUTE_POOL = Symbol('compute pool');
/** Threads of its own for campaigns: an analysis somebody waits for never queues behind one. */
export const CAMPAIGN_POOL = Symbol('campaign pool');
