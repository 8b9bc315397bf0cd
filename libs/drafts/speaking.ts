/** How long a text takes to be spoken. */

/** Words a narrator gets through in a minute: 130 to 160 at an unhurried pace (common practice, no source). */
export const USUAL_WORDS_PER_MINUTE = 150;

/** Words to be spoken: without marks of Markdown, addresses of links, pictures and code. */
export function spokenWords(markdown: string): number {
  const plain = markdown
    .replaceAll(/^ {0,3}(`{3,}|~{3,})[\s\S]*?(?:^ {0,3}\1[^\n]*$|$(?![\s\S]))/gm, ' ')
    .replaceAll(/!\[[^\]]*\]\([^)]*\)/g, ' ')
    .replaceAll(/\[([^\]]*)\]\([^)]*\)/g, '$1')
    .replaceAll(/<?https?:\/\/[^\s>]+>?/g, ' ');
  return [...new Intl.Segmenter('en', { granularity: 'word' }).segment(plain)].filter(
    ({ isWordLike }) => isWordLike,
  ).length;
}

/** Seconds, to the nearest five. */
export function spokenSeconds(words: number, wordsPerMinute: number): number {
  return Math.round(((words / wordsPerMinute) * 60) / 5) * 5;
}

/** Such as `6 min 40 s`, `45 s`. */
export function sayDuration(seconds: number): string {
  const minutes = Math.floor(seconds / 60);
  const rest = seconds % 60;
  if (minutes === 0) return `${rest} s`;
  return rest === 0 ? `${minutes} min` : `${minutes} min ${rest} s`;
}
