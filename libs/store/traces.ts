/**
 * Which trace the work at hand belongs to (W3C Trace Context, https://www.w3.org/TR/trace-context/): taken over from the
 * request that began it and kept with the jobs it asks for, so that the log lines of both can be put together.
 */
import { AsyncLocalStorage } from 'node:async_hooks';

const traces = new AsyncLocalStorage<string>();
const TRACEPARENT = /^[0-9a-f]{2}-(?!0{32})([0-9a-f]{32})-(?!0{16})[0-9a-f]{16}-[0-9a-f]{2}$/;

/** @returns the trace's id; undefined when the header is absent or not well formed */
export function traceOf(traceparent: string | undefined): string | undefined {
  return TRACEPARENT.exec(traceparent ?? '')?.[1];
}

export function inTrace<T>(trace: string | undefined, work: () => T): T {
  return trace === undefined ? work() : traces.run(trace, work);
}

export const currentTrace = (): string | undefined => traces.getStore();
