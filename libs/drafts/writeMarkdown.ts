/** A review as Markdown, its figures as files beside it. */
import type { Review, ReviewPoint, ReviewSection } from './review.js';

export interface MarkdownFiles {
  readonly markdown: string;
  /** By their path beside the text. */
  readonly files: readonly { readonly path: string; readonly content: string }[];
}

export function writeMarkdown(review: Review): MarkdownFiles {
  const about = [review.makerName, ...review.units].filter((word) => word !== '').join(' · ');
  const parts = [
    `# ${plain(review.title)}`,
    `${plain(about)}. ${plain(review.teamName)}.${review.invented ? ' Makers, people and data are invented.' : ''}`,
    ...review.sections.map(section),
  ];
  const figures = review.sections.flatMap((one) => (one.part === 'figures' ? one.figures : []));
  return {
    markdown: `${parts.filter((part) => part !== '').join('\n\n')}\n`,
    files: figures.flatMap(({ name, svg, csv }) => [
      { path: `figures/${name}.svg`, content: svg },
      { path: `figures/${name}.csv`, content: csv },
    ]),
  };
}

function section(one: ReviewSection): string {
  const head = one.title === '' ? [] : [`## ${plain(one.title)}`];
  return [...head, body(one)].filter((part) => part !== '').join('\n\n');
}

function body(one: ReviewSection): string {
  switch (one.part) {
    case 'text':
      return one.markdown;
    case 'figures':
      return one.figures
        .map(
          ({ unitName, title, name }) =>
            `![${plain(`${unitName}: ${title}`)}](figures/${name}.svg)\n\nNumbers: [${name}.csv](figures/${name}.csv)`,
        )
        .join('\n\n');
    case 'findings':
      return one.findings
        .map(({ unitName, sentence }) => `- ${plain(`${unitName}: ${sentence}`)}`)
        .join('\n');
    case 'numbers':
      return [
        '| | |',
        '| --- | --- |',
        ...one.numbers.map(
          ({ unitName, label, value }) => `| ${plain(`${unitName}: ${label}`)} | ${plain(value)} |`,
        ),
      ].join('\n');
    default:
      return one.points.map(point).join('\n');
  }
}

function point({ about, text, evidence }: ReviewPoint): string {
  const head = about === undefined ? '' : `**${plain(about)}:** `;
  return [`- ${head}${plain(text)}`, ...evidence.map((sentence) => `  - ${plain(sentence)}`)].join('\n');
}

/** Words as they are, on one line: nothing in them is taken for a mark of Markdown or for HTML. */
const plain = (words: string): string =>
  words
    .replaceAll(/\s+/g, ' ')
    .replaceAll(/[\\`*_{}[\]<>#|~&]/g, '\\$&')
    .trim();
