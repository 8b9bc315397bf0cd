/**
 * What a running process counts and times, in the text format that Prometheus reads. Labels are routes as they are
 * written in the code, names of jobs and of queues: their number is bounded, and nothing of anybody's is in them.
 */
import {
  collectDefaultMetrics,
  Counter,
  Gauge,
  Histogram,
  Registry,
  type GaugeConfiguration,
} from 'prom-client';
import { JOB_SECONDS, LIVE_SECONDS, REQUEST_SECONDS } from './buckets.js';

export interface Metrics {
  /** @param route as written in the code, such as `/api/loans/:id`; undefined for an address that is none */
  request(method: string, route: string | undefined, status: number, seconds: number): void;
  /** One run of a job. */
  job(name: string, outcome: 'done' | 'failed', seconds: number): void;
  /** From the moment of an event to its being handed to the sockets of this process. */
  told(seconds: number): void;
  /** A socket whose reader did not keep up. */
  slowSocketCut(): void;
  /** An upload that was told to come later. */
  uploadPutOff(): void;
  /** Read when asked for, and at most once in `everyMs`: many questions to the database would be a load themselves. */
  gauge(
    name: string,
    help: string,
    labels: readonly string[],
    everyMs: number,
    read: () => Promise<readonly Reading[]>,
  ): void;
  text(): Promise<string>;
  readonly contentType: string;
}
export interface Reading {
  readonly value: number;
  readonly labels?: Readonly<Record<string, string>>;
}

export function openMetrics(report: (error: Error) => void): Metrics {
  const registry = new Registry();
  collectDefaultMetrics({ register: registry, prefix: 'sojourn_' });
  const registers = [registry];
  const requests = new Histogram({
    name: 'sojourn_http_request_seconds',
    help: 'Time to answer a request',
    labelNames: ['method', 'route', 'status'],
    buckets: REQUEST_SECONDS,
    registers,
  });
  const jobs = new Histogram({
    name: 'sojourn_job_seconds',
    help: 'Time of one run of a job',
    labelNames: ['job', 'outcome'],
    buckets: JOB_SECONDS,
    registers,
  });
  const live = new Histogram({
    name: 'sojourn_feed_delay_seconds',
    help: 'From an event to its being handed to the sockets of this process',
    buckets: LIVE_SECONDS,
    registers,
  });
  const cut = new Counter({
    name: 'sojourn_slow_sockets_cut_total',
    help: 'Sockets cut because their reader did not keep up',
    registers,
  });
  const putOff = new Counter({
    name: 'sojourn_uploads_put_off_total',
    help: 'Uploads told to come later',
    registers,
  });
  return {
    contentType: registry.contentType,
    request: (method, route, status, seconds) =>
      requests.observe({ method, route: route ?? 'none', status: String(status) }, seconds),
    job: (job, outcome, seconds) => jobs.observe({ job, outcome }, seconds),
    told: (seconds) => live.observe(Math.max(0, seconds)),
    slowSocketCut: () => cut.inc(),
    uploadPutOff: () => putOff.inc(),
    gauge: (name, help, labels, everyMs, read) => {
      const configuration = { name, help, labelNames: [...labels], registers };
      addGauge(configuration, everyMs, read, report);
    },
    text: () => registry.metrics(),
  };
}

function addGauge(
  configuration: GaugeConfiguration<string>,
  everyMs: number,
  read: () => Promise<readonly Reading[]>,
  report: (error: Error) => void,
): Gauge {
  let readAt = -Infinity;
  return new Gauge({
    ...configuration,
    async collect() {
      if (performance.now() - readAt < everyMs) return;
      try {
        const readings = await read();
        readAt = performance.now();
        this.reset();
        for (const { labels, value } of readings) this.set(labels ?? {}, value);
      } catch (error) {
        // The other figures are as good as ever; this one is absent rather than old.
        this.reset();
        this.remove({});
        report(error as Error);
      }
    },
  });
}
