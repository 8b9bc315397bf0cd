/** The two moods a figure comes in. */

export const FIGURE_FONT_FAMILY = 'Sofia Sans';

export type ThemeName = 'paper' | 'night';

export interface FigureTheme {
  readonly background: string;
  readonly ink: string;
  /** Secondary text; still 4.5:1 on the background. */
  readonly quiet: string;
  /** Labelled grid lines, unlabelled grid lines, the frame. */
  readonly grid: string;
  readonly gridMinor: string;
  readonly frame: string;
  readonly zone: string;
  readonly guide: string;
  /** Curve colours by palette slot. */
  readonly curves: readonly string[];
}

/**
 * Curves: ink, then colours of Paul Tol's "muted", "light", "bright" and "vibrant" sets (Colour Schemes, SRON
 * technical note) and the vermillion of Okabe and Ito (Color Universal Design, 2008), picked per background so that
 * each has 3:1 contrast and every pair stays apart for normal, protan, deutan and tritan sight; the test measures it.
 */
export const THEMES: Readonly<Record<ThemeName, FigureTheme>> = {
  paper: {
    background: '#fbf7ee',
    ink: '#221e18',
    quiet: '#645c50',
    grid: '#d9d0bf',
    gridMinor: '#ece5d7',
    frame: '#a89d8a',
    zone: '#f3ebdb',
    guide: '#8a7f6d',
    curves: ['#221e18', '#332288', '#d55e00', '#117733', '#aa4499', '#cc6677', '#882255'],
  },
  night: {
    background: '#11161f',
    ink: '#ece7dc',
    quiet: '#a3a9b5',
    grid: '#2f3745',
    gridMinor: '#1e2531',
    frame: '#5d6675',
    zone: '#1c2431',
    guide: '#8a93a3',
    curves: ['#ece7dc', '#77aadd', '#ee8866', '#228833', '#ee3377', '#ccbb44', '#99ddff'],
  },
};
