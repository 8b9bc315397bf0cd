import type { QualityFinding, QualitySeverity } from '../series.js';
import type { Notice, NoticeCode } from './notice.js';

interface Wording {
  readonly severity: QualitySeverity;
  /** What is wrong and what to do; `{files}` and `{detail}` are filled in. */
  readonly text: string;
}

const WORDINGS: Readonly<Record<NoticeCode, Wording>> = {
  'recording-silent': {
    severity: 'blocking',
    text: '{files}: nothing but silence was recorded. Check the microphone and its input, and measure again.',
  },
  'recording-too-short': {
    severity: 'blocking',
    text: '{files}: the recording is shorter than its stimulus needs ({detail}). Record the whole stimulus again.',
  },
  'recording-too-long': {
    severity: 'check',
    text: '{files}: the recording is longer than can be analysed ({detail}). Cut away what is before and after the stimulus.',
  },
  'sweep-not-found': {
    severity: 'blocking',
    text: '{files}: the stated sweep ({detail}) is not in the recording. Check its start and end frequency and its length in the manifest, or measure again.',
  },
  'sweep-cut': {
    severity: 'check',
    text: '{files}: the recording holds only part of the sweep ({detail}); the rest is not reported. Start recording before the sweep and stop after it.',
  },
  'clock-drift': {
    severity: 'note',
    text: "{files}: the recorder's clock ran {detail} against the player's; it has been allowed for.",
  },
  'recording-without-angle': {
    severity: 'check',
    text: '{files}: taken for directivity, but nothing says at which angle. State the orbit and the angle in the manifest or the file name.',
  },
  'recording-without-level': {
    severity: 'check',
    text: '{files}: nothing says at which level it was taken, and no full-scale level is stated to compute it from. State either in the manifest.',
  },
  'stimulus-does-not-fit': {
    severity: 'check',
    text: '{files}: {detail} cannot be read from this stimulus. Correct the role or the stimulus in the manifest.',
  },
  'microphone-unassigned': {
    severity: 'check',
    text: '{files}: it is not known which calibration curve belongs to this recording, so none was applied. Name the microphone in the manifest.',
  },
  'levels-relative': {
    severity: 'note',
    text: '{files}: the level of digital full scale is not stated, so these levels are relative and no sensitivity follows from them.',
  },
  'window-leaves-nothing': {
    severity: 'blocking',
    text: '{files}: the window on the impulse response is too short to leave any frequency ({detail}). Measure with a longer time before the first reflection, or a longer recording.',
  },
  'tones-missing': {
    severity: 'check',
    text: '{files}: stated tones do not stand out of the recording ({detail}). Check the list of frequencies, or measure again.',
  },
  'harmonics-beyond-band': {
    severity: 'note',
    text: '{files}: harmonics above {detail} lie beyond what the recording holds and count as zero.',
  },
};

const FILES_NAMED = 3;

/**
 * Puts notices into words: one finding for all files with the same one.
 *
 * @returns in the order in which each code first came up
 */
export function noticeFindings(notices: readonly Notice[]): QualityFinding[] {
  const byCode = new Map<NoticeCode, Notice[]>();
  for (const notice of notices) {
    const alike = byCode.get(notice.code) ?? [];
    alike.push(notice);
    byCode.set(notice.code, alike);
  }
  return [...byCode].map(([code, alike]) => {
    const { severity, text } = WORDINGS[code];
    const files = [...new Set(alike.map(({ file }) => file))];
    const details = [...new Set(alike.flatMap(({ detail }) => detail ?? []))];
    const message = text.replace('{files}', named(files)).replace('{detail}', named(details));
    return { severity, code, message, ...(files.length === 1 ? { file: files[0] } : {}) };
  });
}

function named(names: readonly string[]): string {
  const rest = names.length - FILES_NAMED;
  return rest > 0 ? `${names.slice(0, FILES_NAMED).join(', ')} and ${rest} more` : names.join(', ');
}
