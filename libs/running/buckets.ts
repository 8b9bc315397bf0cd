/** Edges of the time classes, in seconds. Common practice, no source: about three to a decade. */
export const REQUEST_SECONDS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1, 2.5, 5, 10];
export const JOB_SECONDS = [0.01, 0.03, 0.1, 0.3, 1, 3, 10, 30, 100, 300];
export const LIVE_SECONDS = [0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 1, 5, 30];
