/** What can go wrong with a recording, before it is put into words. */
export type NoticeCode =
  | 'recording-silent'
  | 'recording-too-short'
  | 'recording-too-long'
  | 'sweep-not-found'
  | 'sweep-cut'
  | 'clock-drift'
  | 'recording-without-angle'
  | 'recording-without-level'
  | 'stimulus-does-not-fit'
  | 'microphone-unassigned'
  | 'levels-relative'
  | 'window-leaves-nothing'
  | 'tones-missing'
  | 'harmonics-beyond-band';

export interface Notice {
  readonly code: NoticeCode;
  readonly file: string;
  /** A figure or name for the message, such as `63 Hz`. */
  readonly detail?: string;
}
