/** Paper or night: the system's preference until the reader chooses. `public/mood.js` applies it before the first paint. */
export type Mood = 'system' | 'paper' | 'night';

export function currentMood(): Mood {
  const set = document.documentElement.dataset['mood'];
  return set === 'paper' || set === 'night' ? set : 'system';
}

export function chooseMood(mood: Mood): void {
  if (mood === 'system') delete document.documentElement.dataset['mood'];
  else document.documentElement.dataset['mood'] = mood;
  try {
    if (mood === 'system') localStorage.removeItem('sojourn-mood');
    else localStorage.setItem('sojourn-mood', mood);
  } catch (error) {
    // Without storage the choice holds for this page only.
    console.info('The mood is not remembered:', error);
  }
}
