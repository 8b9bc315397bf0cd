import { describe, expect, it } from 'vitest';
import { bandNoise, rmsOf } from './bandNoise.js';
import { freshId } from './freshId.js';
import { between, hzAt, keyMove, placeOf, thirdOctave, withEnd } from './frequencyScale.js';
import { quickRemark } from './quickRemark.js';
import { mergeDrafts, type SessionDraft } from './sessionDraft.js';

const at = '2031-05-02T17:00:00Z';

describe('ids made on the device', () => {
  it('are UUIDs of version 4 (RFC 9562), each its own', () => {
    const ids = Array.from({ length: 200 }, freshId);
    for (const id of ids)
      expect(id).toMatch(/^[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/);
    expect(new Set(ids).size).toBe(200);
  });
});

describe('the strip', () => {
  it('places a decade as wide as any other, and reads back what it placed', () => {
    expect(placeOf(20)).toBe(0);
    expect(placeOf(20_000)).toBe(1);
    expect(placeOf(200) - placeOf(20)).toBeCloseTo(placeOf(2000) - placeOf(200), 12);
    for (const hz of [31.5, 100, 440, 3150, 16_000]) expect(hzAt(placeOf(hz))).toBeCloseTo(hz, 6);
    expect([hzAt(-1), hzAt(2)]).toEqual([20, 20_000]);
  });
  it('never lets its ends cross', () => {
    expect(withEnd({ fromHz: 100, toHz: 200 }, 'from', 500)).toEqual({ fromHz: 200, toHz: 200 });
    expect(withEnd({ fromHz: 100, toHz: 200 }, 'to', 50)).toEqual({ fromHz: 100, toHz: 100 });
    expect(between(300, 100)).toEqual({ fromHz: 100, toHz: 300 });
  });
  it('moves by a twelfth of an octave, by a third, and to either end', () => {
    expect(keyMove('ArrowRight', 440)).toBe(466);
    expect(keyMove('PageDown', 1000)).toBe(794);
    expect([keyMove('Home', 1000), keyMove('End', 1000), keyMove('a', 1000)]).toEqual([
      20,
      20_000,
      undefined,
    ]);
  });
  // IEC 61260-1, base ten: the third about 1 kHz reaches from 891.25 to 1122.02 Hz.
  it('knows the band of a third of an octave', () => {
    const { fromHz, toHz } = thirdOctave(1000);
    expect(fromHz).toBeCloseTo(891.25094, 4);
    expect(toHz).toBeCloseTo(1122.01845, 4);
  });
});

describe('a remark in one line', () => {
  it.each([
    ['boomy 4 left cello', { descriptor: 'boomy', sign: 'excess', severity: 4, side: 'left', text: 'cello' }],
    ['weak bass', { descriptor: 'weak bass', sign: 'lack', fromHz: 20, toHz: 80 }],
    ['harsh 2-4k brass', { descriptor: 'harsh', fromHz: 2000, toHz: 4000, text: 'brass' }],
    ['- 80-120 hz', { sign: 'lack', fromHz: 80, toHz: 120, text: '' }],
    ['less 3 khz voices', { sign: 'lack', fromHz: 2380, toHz: 3780, text: 'voices' }],
    ['lovely space', { sign: 'neutral', text: 'lovely space', severity: 2 }],
  ])('understands “%s”', (line, expected) =>
    expect(quickRemark(line, 'r', at)).toMatchObject({ id: 'r', at, ...expected }),
  );
});

describe('two devices’ writing of one session', () => {
  const remark = (id: string, text: string) => ({ id, text, sign: 'excess', severity: 2 }) as const;
  const was: SessionDraft = {
    heardOn: '2031-05-02',
    placement: 'near the wall',
    levelDb: 78,
    sources: '',
    words: '',
    remarks: [remark('a', 'harsh'), remark('b', 'boomy')],
  };
  it('keeps what only one of them wrote, from either', () => {
    const mine = { ...was, words: 'Here.', remarks: [...was.remarks, remark('m', 'mine')] };
    const theirs = { ...was, levelDb: 80, remarks: [...was.remarks, remark('t', 'theirs')] };
    const { draft, clashes } = mergeDrafts(was, mine, theirs);
    expect(clashes).toEqual([]);
    expect(draft).toMatchObject({ words: 'Here.', levelDb: 80 });
    expect(draft.remarks.map(({ id }) => id)).toEqual(['a', 'b', 't', 'm']);
  });
  it('keeps both versions of what both changed, and names it', () => {
    const mine = { ...was, placement: 'further out', remarks: [remark('a', 'harsh brass')] };
    const theirs = {
      ...was,
      placement: 'turned in',
      remarks: [remark('a', 'harsh strings'), remark('b', 'boomy')],
    };
    const { draft, clashes } = mergeDrafts(was, mine, theirs);
    expect(draft.placement).toBe('turned in\nfurther out');
    expect(draft.remarks.map(({ text }) => text)).toEqual(['harsh strings', 'harsh brass']);
    expect(new Set(draft.remarks.map(({ id }) => id)).size).toBe(2);
    expect(clashes).toHaveLength(2);
  });
  it('takes a remark out that one took out, unless the other has written in it since', () => {
    const gone = { ...was, remarks: [remark('b', 'boomy')] };
    expect(mergeDrafts(was, gone, was).draft.remarks.map(({ id }) => id)).toEqual(['b']);
    expect(mergeDrafts(was, was, gone).draft.remarks.map(({ id }) => id)).toEqual(['b']);
    const written = { ...was, remarks: [remark('a', 'harsh, very'), remark('b', 'boomy')] };
    expect(mergeDrafts(was, gone, written).draft.remarks.map(({ text }) => text)).toContain('harsh, very');
  });
  it('is no clash when both sent the same, whatever the order of the fields', () => {
    const turned = {
      ...was,
      remarks: was.remarks.map(({ id, text, sign, severity }) => ({ severity, sign, text, id })),
    };
    expect(mergeDrafts(null, was, turned).clashes).toEqual([]);
    expect(mergeDrafts(null, was, turned).draft.remarks).toHaveLength(2);
  });
});

describe('band noise', () => {
  const sampleRateHz = 8000;
  /** The level at one frequency by direct correlation: an independent slow way. */
  const amplitudeAt = (samples: Float32Array, hz: number): number => {
    let [real, imaginary] = [0, 0];
    samples.forEach((sample, index) => {
      const phase = (2 * Math.PI * hz * index) / sampleRateHz;
      real += sample * Math.cos(phase);
      imaginary += sample * Math.sin(phase);
    });
    return (2 / samples.length) * Math.hypot(real, imaginary);
  };
  it.each([50, 1000, 3000])('about %i Hz has all its power within the third of an octave', (hz) => {
    const samples = bandNoise(hz, sampleRateHz, sequence());
    const { fromHz, toHz } = thirdOctave(hz);
    const seconds = samples.length / sampleRateHz;
    let inside = 0;
    for (let bin = Math.ceil(fromHz * seconds); bin <= toHz * seconds; bin++)
      inside += amplitudeAt(samples, bin / seconds) ** 2 / 2;
    expect(inside).toBeCloseTo(rmsOf(samples) ** 2, 6);
    expect(amplitudeAt(samples, Math.floor(fromHz * seconds - 2) / seconds)).toBeLessThan(1e-5);
    expect(amplitudeAt(samples, Math.ceil(toHz * seconds + 2) / seconds)).toBeLessThan(1e-5);
  });
  it('is as strong as a full sine (RMS 1/√2) and goes on without a seam', () => {
    const samples = bandNoise(400, sampleRateHz, sequence());
    expect(rmsOf(samples)).toBeCloseTo(Math.SQRT1_2, 5);
    const step = Math.abs((samples[0] ?? 0) - (samples.at(-1) ?? 0));
    const largest = samples.reduce(
      (most, sample, index) => Math.max(most, index === 0 ? 0 : Math.abs(sample - (samples[index - 1] ?? 0))),
      0,
    );
    expect(step).toBeLessThanOrEqual(largest * 1.05);
  });

  /** Numbers that are the same in every run (a linear congruential sequence). */
  function sequence(): () => number {
    let state = 1;
    return () => (state = (state * 48_271) % 2_147_483_647) / 2_147_483_647;
  }
});
