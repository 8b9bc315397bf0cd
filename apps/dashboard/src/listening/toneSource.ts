/** Sound made in the browser: a sine or band noise, always coming up slowly from nothing and never for long. */
import { bandNoise } from './bandNoise.js';

export type SoundKind = 'tone' | 'noise';
export interface Sound {
  readonly kind: SoundKind;
  readonly hz: number;
  /** Under digital full scale. */
  readonly levelDb: number;
}
export const QUIETEST_DB = -70;
export const LOUDEST_DB = -12;
export const START_DB = -45;
/** A steady tone warms a tweeter and tires the ear: it ends by itself. */
export const LONGEST_S = 20;
const RISE_S = 1.2;
const FALL_S = 0.06;

export const gainOf = (levelDb: number): number =>
  10 ** (Math.min(LOUDEST_DB, Math.max(QUIETEST_DB, levelDb)) / 20);

export interface PlayingSound {
  /** Follows what is asked for; a louder level comes up slowly too. */
  follow(sound: Sound): void;
  stop(): void;
}

/** @param ended also when it ends by itself */
export function playSound(first: Sound, ended: () => void): PlayingSound {
  const context = new AudioContext();
  const gain = context.createGain();
  gain.gain.value = 0;
  gain.connect(context.destination);
  let sound = first;
  let source = start(context, sound, gain);
  void context.resume();
  rise(context, gain, sound.levelDb);
  let over = false;
  const stop = () => {
    if (over) return;
    over = true;
    clearTimeout(timer);
    gain.gain.cancelScheduledValues(context.currentTime);
    gain.gain.setTargetAtTime(0, context.currentTime, FALL_S / 3);
    setTimeout(() => void context.close(), FALL_S * 1000 * 3);
    ended();
  };
  const timer = setTimeout(stop, LONGEST_S * 1000);
  return {
    stop,
    follow: (next) => {
      if (over) return;
      if (next.levelDb !== sound.levelDb) rise(context, gain, next.levelDb);
      if (next.kind === 'tone' && source instanceof OscillatorNode) {
        source.frequency.setTargetAtTime(next.hz, context.currentTime, 0.02);
      } else if (next.kind !== sound.kind || next.hz !== sound.hz) {
        source.stop();
        source = start(context, next, gain);
      }
      sound = next;
    },
  };
}

function start(context: AudioContext, sound: Sound, gain: GainNode): OscillatorNode | AudioBufferSourceNode {
  if (sound.kind === 'tone') {
    const tone = new OscillatorNode(context, { type: 'sine', frequency: sound.hz });
    tone.connect(gain);
    tone.start();
    return tone;
  }
  const samples = bandNoise(sound.hz, context.sampleRate, Math.random);
  const buffer = context.createBuffer(1, samples.length, context.sampleRate);
  buffer.copyToChannel(samples, 0);
  const noise = new AudioBufferSourceNode(context, { buffer, loop: true });
  noise.connect(gain);
  noise.start();
  return noise;
}

function rise(context: AudioContext, gain: GainNode, levelDb: number): void {
  const now = context.currentTime;
  gain.gain.cancelScheduledValues(now);
  gain.gain.setTargetAtTime(gainOf(levelDb), now, RISE_S / 3);
}
