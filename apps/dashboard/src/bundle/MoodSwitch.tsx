/** Paper or night; as the reader's system has it until it is pressed. */
import { useState } from 'react';

type Mood = 'paper' | 'night';

export function MoodSwitch() {
  const [mood, setMood] = useState<Mood>(() =>
    matchMedia('(prefers-color-scheme: dark)').matches ? 'night' : 'paper',
  );
  const other: Mood = mood === 'paper' ? 'night' : 'paper';
  return (
    <button
      type="button"
      className="button button-quiet bundle-mood"
      onClick={() => {
        document.documentElement.dataset['mood'] = other;
        setMood(other);
      }}
    >
      {other === 'night' ? 'Dark page' : 'Light page'}
    </button>
  );
}
