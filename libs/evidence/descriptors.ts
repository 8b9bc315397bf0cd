/**
 * The words listeners use and where they usually point. Ranges and signs: common practice, no source.
 *
 * `means` is what the word says by itself: `lack` words (thin, dull) stay a lack whether the listener ticked too
 * much or too little; `excess` words become a lack when the listener says there is too little of it.
 */
export interface Descriptor {
  readonly name: string;
  /** Beginnings of words, or whole phrases, that say it. */
  readonly says: readonly string[];
  readonly fromHz: number;
  readonly toHz: number;
  readonly means: 'excess' | 'lack';
}

export const descriptors: readonly Descriptor[] = [
  {
    name: 'weak bass',
    says: [
      'weak bass',
      'no bass',
      'bass shy',
      'bass-shy',
      'light bass',
      'lacks bass',
      'little bass',
      'no low end',
    ],
    fromHz: 20,
    toHz: 80,
    means: 'lack',
  },
  {
    name: 'heavy bass',
    says: ['bass heavy', 'bass-heavy', 'heavy bass', 'too much bass', 'bloat'],
    fromHz: 40,
    toHz: 120,
    means: 'excess',
  },
  { name: 'boomy', says: ['boom'], fromHz: 60, toHz: 150, means: 'excess' },
  { name: 'muddy', says: ['mudd', 'muddi', 'murk'], fromHz: 100, toHz: 300, means: 'excess' },
  { name: 'warm', says: ['warm'], fromHz: 100, toHz: 300, means: 'excess' },
  { name: 'thin', says: ['thin', 'no body', 'lacks body', 'lean'], fromHz: 100, toHz: 500, means: 'lack' },
  { name: 'boxy', says: ['boxy', 'boxi'], fromHz: 200, toHz: 500, means: 'excess' },
  { name: 'hollow', says: ['hollow'], fromHz: 300, toHz: 800, means: 'lack' },
  { name: 'honky', says: ['honk', 'nasal'], fromHz: 400, toHz: 1000, means: 'excess' },
  { name: 'tinny', says: ['tinny', 'tinni'], fromHz: 1000, toHz: 2000, means: 'excess' },
  {
    name: 'recessed',
    says: ['recess', 'laid-back', 'laid back', 'distant'],
    fromHz: 1000,
    toHz: 4000,
    means: 'lack',
  },
  { name: 'shouty', says: ['shout', 'forward', 'in your face'], fromHz: 1500, toHz: 3000, means: 'excess' },
  {
    name: 'harsh',
    says: ['harsh', 'edgy', 'glare', 'hard-edged', 'aggressive'],
    fromHz: 2000,
    toHz: 5000,
    means: 'excess',
  },
  { name: 'dull', says: ['dull', 'muffl', 'dark'], fromHz: 2000, toHz: 16000, means: 'lack' },
  { name: 'bright', says: ['bright'], fromHz: 3000, toHz: 10000, means: 'excess' },
  { name: 'sibilant', says: ['sibila', 'spitty', 'lisp'], fromHz: 4000, toHz: 8000, means: 'excess' },
  {
    name: 'crisp',
    says: ['crisp', 'splash', 'sizzl', 'cymbals too'],
    fromHz: 8000,
    toHz: 12000,
    means: 'excess',
  },
  { name: 'airy', says: ['airy', 'airi', ' air '], fromHz: 10000, toHz: 20000, means: 'excess' },
];
