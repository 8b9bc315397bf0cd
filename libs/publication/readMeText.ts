/** A word to whoever unpacks a bundle. */
import type { ReviewContent, ReviewVersion } from '../contracts/index.js';

export function readMeText(content: ReviewContent, version: ReviewVersion | null): string {
  const lines = [
    content.title,
    content.teamName,
    version
      ? `Version ${version.number}, ${version.publishedAt.slice(0, 10)}`
      : 'Preview: this review is not published.',
    ...(version && version.changeNote !== '' ? [`Corrected in this version: ${version.changeNote}`] : []),
    ...(content.invented ? ['Everything in here is invented: makers, people, units and data.'] : []),
    '',
    'index.html      the review; it opens in any browser, from disk, without a network',
    'figures/        every figure as SVG and PNG',
    'data/           the numbers behind them: CSV (RFC 4180), JSON, and directivity as SOFA (AES69)',
    ...(content.listening.length > 0 ? ['listening/      the record of sealed listening sessions'] : []),
    'manifest.json   conditions, versions, and the SHA-256 of every file',
    '',
    'To check a file: its SHA-256 must be the one manifest.json gives for it.',
    '',
    ...content.cautions.map((caution) => `Caution. ${caution}`),
    '',
    `Data and figures: ${content.licence.name} ${content.licence.url}`.trim(),
    content.licence.words,
    '',
  ];
  return lines.join('\r\n');
}
