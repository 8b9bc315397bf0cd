/** Finding a frequency by ear: a steady tone or noise of a third of an octave, quiet and short, moved until it fits. */
import { useEffect, useId, useRef, useState } from 'react';
import { Button, ChoiceField, Notice } from '../kit/index.js';
import { formatFrequency } from '../words/numbers.js';
import {
  HIGHEST_HZ,
  hzAt,
  keyMove,
  LOWEST_HZ,
  placeOf,
  thirdOctave,
  rounded,
  type Range,
} from './frequencyScale.js';
import {
  LONGEST_S,
  LOUDEST_DB,
  playSound,
  QUIETEST_DB,
  START_DB,
  type PlayingSound,
  type SoundKind,
} from './toneSource.js';

const kinds = [
  { value: 'tone', words: 'steady tone' },
  { value: 'noise', words: 'band noise' },
] as const;

export function TonePlayer(props: { onUse: (range: Range) => void; useWords: string }) {
  const [kind, setKind] = useState<SoundKind>('tone');
  const [hz, setHz] = useState(440);
  const [levelDb, setLevelDb] = useState(START_DB);
  const playing = useRef<PlayingSound | null>(null);
  const [sounds, setSounds] = useState(false);
  const stop = () => playing.current?.stop();
  const start = () => {
    // Quiet again at every start, whatever it was left at.
    setLevelDb(START_DB);
    playing.current = playSound({ kind, hz, levelDb: START_DB }, () => {
      playing.current = null;
      setSounds(false);
    });
    setSounds(true);
  };
  useEffect(() => playing.current?.follow({ kind, hz, levelDb }), [kind, hz, levelDb]);
  useEffect(() => () => playing.current?.stop(), []);
  useEffect(() => {
    if (!sounds) return undefined;
    const escape = (event: KeyboardEvent) => {
      if (event.key === 'Escape') playing.current?.stop();
    };
    window.addEventListener('keydown', escape);
    return () => window.removeEventListener('keydown', escape);
  }, [sounds]);
  return (
    <details className="tone">
      <summary>Find the frequency by ear: a tone or band noise</summary>
      <div className="stack">
        <Notice tone="caution" title="Start quiet.">
          <p>
            Turn the volume down first and bring it up slowly: a steady tone is easily underrated, tires the
            ear and warms a tweeter. It begins quiet, comes up over a second and ends by itself after{' '}
            {LONGEST_S} s; Escape stops it. At 85 dBA and more the day’s noise dose counts (NIOSH 98-126).
          </p>
        </Notice>
        <ChoiceField label="Sound" value={kind} options={kinds} onChange={setKind} />
        <Slide
          label="Frequency"
          words={formatFrequency(hz)}
          value={placeOf(hz)}
          least={0}
          most={1}
          step={0.001}
          onChange={(place) => setHz(hzAt(place))}
          onKey={(key) => {
            const moved = keyMove(key, hz);
            if (moved !== undefined) setHz(moved);
            return moved !== undefined;
          }}
        />
        <Slide
          label="Level under full scale"
          words={`${String(levelDb).replace('-', '\u2212')} dB`}
          value={levelDb}
          least={QUIETEST_DB}
          most={LOUDEST_DB}
          step={1}
          onChange={setLevelDb}
        />
        <div className="row">
          {sounds ? (
            <Button look="grave" icon="cross" onPress={stop}>
              Stop (Escape)
            </Button>
          ) : (
            <Button icon="curve" onPress={start}>
              Play {kind === 'tone' ? 'the tone' : 'the noise'} quietly
            </Button>
          )}
          <Button onPress={() => props.onUse(roundedRange(thirdOctave(hz)))}>{props.useWords}</Button>
        </div>
      </div>
    </details>
  );
}

const roundedRange = ({ fromHz, toHz }: Range): Range => ({
  fromHz: Math.max(LOWEST_HZ, rounded(fromHz)),
  toHz: Math.min(HIGHEST_HZ, rounded(toHz)),
});

function Slide(props: {
  label: string;
  words: string;
  value: number;
  least: number;
  most: number;
  step: number;
  onChange: (value: number) => void;
  onKey?: (key: string) => boolean;
}) {
  const id = useId();
  return (
    <div className="slide">
      <div className="slide-head">
        <label htmlFor={id}>{props.label}</label> <span className="num">{props.words}</span>
      </div>
      <input
        id={id}
        type="range"
        min={props.least}
        max={props.most}
        step={props.step}
        value={props.value}
        aria-valuetext={props.words}
        onChange={(event) => props.onChange(Number(event.target.value))}
        onKeyDown={(event) => {
          if (props.onKey?.(event.key)) event.preventDefault();
        }}
      />
    </div>
  );
}
