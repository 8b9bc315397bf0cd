import type { QualityFinding, Role } from '../../acoustics/series.js';
import type { ReadLimits } from '../limits.js';
import { problem, type Problem, type ProblemCode } from '../problem.js';
import { sourceOf, type FileTask, type Reading } from '../reading.js';
import { findClipping } from './findClipping.js';
import { readWav, type WavAudio } from './readWav.js';

type Samples = Float32Array | Float64Array;

/**
 * Reads one WAV file: an impulse response of a stated direction, or a recording of a stated stimulus.
 * One channel is used; which one must be stated unless only one carries anything.
 */
export function readWavFile(task: FileTask, limits: ReadLimits): Reading {
  const statement = checkStatement(task);
  if (statement !== undefined) return { problems: [statement] };
  const { audio, problem: fault } = readWav(task.file, task.bytes, limits);
  if (audio === undefined) return { problems: fault === undefined ? [] : [fault] };
  const rate = rateProblem(task, audio);
  if (rate !== undefined) return { problems: [rate] };
  const choice = chooseChannel(task, audio);
  if (choice.samples === undefined) return { problems: choice.problem === undefined ? [] : [choice.problem] };
  const bad = sampleProblem(task, choice.samples);
  if (bad !== undefined) return { problems: [bad] };
  const quality = [...choice.notes, ...clippingNotes(task, audio, choice.samples)];
  return { ...toSeries(task, audio.sampleRateHz, choice.samples), quality };
}

function fail(task: FileTask, code: ProblemCode, message: string, remedy: string): Problem {
  return problem(task.file, undefined, code, message, remedy);
}

/** A recording says nothing about itself: the name or the manifest must. */
function checkStatement(task: FileTask): Problem | undefined {
  const { content, stimulus } = task;
  if (content === undefined || content === 'calibration' || content === 'impedance') {
    const what = content === undefined ? 'a recording of unknown meaning' : `${content} data`;
    return fail(
      task,
      'kind-not-read',
      `A WAV file can't be read as ${what}.`,
      'Give it as delimited text, or state its role in manifest.json.',
    );
  }
  if (content === 'directivity') {
    if (task.orbit !== undefined && task.angleDeg !== undefined) return undefined;
    const message = 'Nothing says which orbit and angle this recording was taken at.';
    return fail(
      task,
      'angle-missing',
      message,
      'Name it like h330.wav, or give "orbit" and "angleDeg" in manifest.json.',
    );
  }
  if (stimulus === undefined) {
    const example = '{"type":"exponential-sweep","fromHz":20,"toHz":20000,"seconds":5,"sampleRateHz":48000}';
    const message = `A ${content} recording needs the stimulus that was played.`;
    return fail(task, 'stimulus-missing', message, `Give "stimulus" in manifest.json, such as ${example}.`);
  }
  if (content !== 'in-room' && task.levelDb === undefined && task.fullScaleDb === undefined) {
    const message = `Nothing says at which level this ${content} recording was taken.`;
    return fail(
      task,
      'level-missing',
      message,
      `Name it like ${content}_86db.wav, or give "levelDb" in manifest.json.`,
    );
  }
  return undefined;
}

function rateProblem(task: FileTask, audio: WavAudio): Problem | undefined {
  const { stimulus } = task;
  if (stimulus?.type !== 'exponential-sweep' || stimulus.sampleRateHz === audio.sampleRateHz)
    return undefined;
  const message = `The recording is at ${audio.sampleRateHz} Hz and its stimulus is stated at ${stimulus.sampleRateHz} Hz.`;
  return fail(
    task,
    'wav-header',
    message,
    'Correct "sampleRateHz" in manifest.json, or export the recording at that rate.',
  );
}

interface ChannelChoice {
  readonly samples?: Samples;
  readonly problem?: Problem;
  readonly notes: readonly QualityFinding[];
}

function chooseChannel(task: FileTask, audio: WavAudio): ChannelChoice {
  const channels: readonly Samples[] = audio.channels;
  const count = channels.length;
  if (task.channel !== undefined) {
    const samples = channels[task.channel - 1];
    if (samples !== undefined) return { samples, notes: [] };
    const message = `Channel ${task.channel} is asked for and the file has ${count}.`;
    return { problem: fail(task, 'wav-channel', message, 'Correct "channel" in manifest.json.'), notes: [] };
  }
  const live = channels.filter((samples) => !isSilent(samples));
  if (count === 1 || live.length === 0) return { samples: channels[0], notes: [] };
  const first = live[0];
  if (live.slice(1).some((other) => !sameSamples(first, other))) {
    const message = `The file has ${count} different channels and nothing says which is the microphone.`;
    return {
      problem: fail(
        task,
        'wav-channel',
        message,
        'Give "channel": 1 (or 2, ...) in manifest.json, or save one channel.',
      ),
      notes: [],
    };
  }
  const place = channels.indexOf(first) + 1;
  const message = `Channel ${place} of ${count} was read; the others are silent or the same.`;
  return { samples: first, notes: [{ severity: 'note', code: 'channel-chosen', message, file: task.file }] };
}

function isSilent(samples: Samples): boolean {
  return samples.every((value) => value === 0);
}

function sameSamples(a: Samples, b: Samples): boolean {
  return a.every((value, at) => value === b[at]);
}

function sampleProblem(task: FileTask, samples: Samples): Problem | undefined {
  const at = samples.findIndex((value) => !Number.isFinite(value));
  if (at >= 0) {
    const message = `Sample ${at + 1} of ${samples.length} is not a finite number.`;
    return fail(task, 'not-finite', message, 'Export or measure it again.');
  }
  if (!isSilent(samples)) return undefined;
  return fail(
    task,
    'wav-silent',
    'The recording is silent from end to end.',
    'Check the microphone and its input, and measure again.',
  );
}

function clippingNotes(task: FileTask, audio: WavAudio, samples: Samples): QualityFinding[] {
  const clipping = findClipping(samples, audio.sampleRateHz, audio.format);
  if (clipping === undefined) return [];
  const places = clipping.runs === 1 ? 'in one place' : `in ${clipping.runs} places`;
  const message =
    `The recording is clipped at digital full scale ${places} (first at ${clipping.firstSecond.toFixed(3)} s). ` +
    'Lower the input gain and measure again.';
  return [{ severity: 'blocking', code: 'clipped-recording', message, file: task.file }];
}

function toSeries(task: FileTask, sampleRateHz: number, samples: Samples): Reading {
  const source = sourceOf(task);
  const scale = task.fullScaleDb === undefined ? {} : { fullScaleDb: task.fullScaleDb };
  const direction =
    task.orbit === undefined || task.angleDeg === undefined
      ? {}
      : { orbit: task.orbit, angleDeg: task.angleDeg };
  const role = task.content as Role;
  if (task.stimulus === undefined) {
    const { orbit, angleDeg } = task as Required<FileTask>;
    return { content: role, impulses: [{ orbit, angleDeg, sampleRateHz, samples, ...scale, source }] };
  }
  const level = task.levelDb === undefined ? {} : { levelDb: task.levelDb };
  const { stimulus } = task;
  return {
    content: role,
    recordings: [{ role, stimulus, ...direction, ...level, sampleRateHz, samples, ...scale, source }],
  };
}
