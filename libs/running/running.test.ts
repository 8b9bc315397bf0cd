import { describe, expect, it } from 'vitest';
import { logLevelOf, mayReadMetrics, openMetrics, UnknownLogLevel } from './index.js';

describe('who may read the metrics', () => {
  it('without a token: this machine alone, and not what comes through a proxy', () => {
    const door = { behindProxy: false };
    expect(mayReadMetrics(door, {}, true)).toBe(true);
    expect(mayReadMetrics(door, {}, false)).toBe(false);
    expect(mayReadMetrics(door, { 'x-forwarded-for': '127.0.0.1' }, true)).toBe(false);
    expect(mayReadMetrics(door, { forwarded: 'for=127.0.0.1' }, true)).toBe(false);
    expect(mayReadMetrics({ behindProxy: true }, {}, true)).toBe(false);
  });

  it('with a token: whoever shows it, and nobody else', () => {
    const door = { token: 'k9', behindProxy: true };
    expect(mayReadMetrics(door, { authorization: 'Bearer k9' }, false)).toBe(true);
    expect(mayReadMetrics(door, { authorization: 'Bearer k' }, true)).toBe(false);
    expect(mayReadMetrics(door, {}, true)).toBe(false);
  });
});

describe('what is counted', () => {
  it('has the route, never the address; an unknown one is no label of its own', async () => {
    const metrics = openMetrics(() => undefined);
    metrics.request('GET', '/api/loans/:id', 200, 0.02);
    metrics.request('GET', undefined, 404, 0.001);
    const text = await metrics.text();
    expect(text).toContain(
      'sojourn_http_request_seconds_count{method="GET",route="/api/loans/:id",status="200"} 1',
    );
    expect(text).toContain('route="none",status="404"');
    expect(text).toContain('sojourn_nodejs_eventloop_lag_p99_seconds');
  });

  it('reads what has to be asked for at most so often, and leaves out what cannot be read', async () => {
    const faults: Error[] = [];
    const metrics = openMetrics((error) => faults.push(error));
    let asked = 0;
    metrics.gauge('sojourn_once', 'Asked for', ['kind'], 60_000, async () => [
      { value: ++asked, labels: { kind: 'a' } },
    ]);
    metrics.gauge('sojourn_broken', 'Never there', [], 0, () => Promise.reject(new Error('away')));
    await metrics.text();
    const text = await metrics.text();
    expect(asked).toBe(1);
    expect(text).toContain('sojourn_once{kind="a"} 1');
    expect(text).not.toMatch(/^sojourn_broken /m);
    expect(faults.map(({ message }) => message)).toContain('away');
  });
});

it('refuses a log level it does not know', () => {
  expect(logLevelOf(undefined)).toBeUndefined();
  expect(logLevelOf('info')).toBe('info');
  expect(() => logLevelOf('loud')).toThrow(UnknownLogLevel);
});
