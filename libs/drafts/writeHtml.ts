/** A review as one HTML file: figures inside, nothing fetched, nothing run. */
import { escapeHtml as esc, renderMarkdown } from './renderMarkdown.js';
import type { Review, ReviewPoint, ReviewSection } from './review.js';

const styles = `
:root { color-scheme: light; }
body { font: 1.05rem/1.55 system-ui, sans-serif; color: #1b1a22; background: #fdfcf8; max-width: 46rem; margin: 2rem auto; padding: 0 1rem; }
h1 { line-height: 1.15; } h2 { margin-top: 2.2rem; }
.soft { color: #55515d; } .evidence { color: #55515d; font-size: 0.92rem; }
figure { margin: 1.4rem 0; } figure svg { width: 100%; height: auto; } figcaption { font-weight: 600; }
table { border-collapse: collapse; } th, td { text-align: left; padding: 0.25rem 1rem 0.25rem 0; border-bottom: 1px solid #d9d2c4; font-weight: normal; }
pre { white-space: pre-wrap; } blockquote { border-left: 3px solid #d9d2c4; margin-left: 0; padding-left: 1rem; }
@media print { body { margin: 0; max-width: none; } figure { break-inside: avoid; } }`;

export function writeHtml(review: Review): string {
  const about = [review.makerName, ...review.units].filter((word) => word !== '').join(' · ');
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:; base-uri 'none'; form-action 'none'">
<meta name="referrer" content="no-referrer">
<meta name="robots" content="noindex">
<title>${esc(review.title)}</title>
<style>${styles}
</style>
</head>
<body>
<header>
<h1>${esc(review.title)}</h1>
<p class="soft">${esc(about)}. ${esc(review.teamName)}.${review.invented ? ' Makers, people and data are invented.' : ''}</p>
</header>
<main>
${review.sections.map(section).join('\n')}
</main>
</body>
</html>
`;
}

function section(one: ReviewSection): string {
  const head = one.title === '' ? '' : `<h2>${esc(one.title)}</h2>\n`;
  return `<section>\n${head}${body(one)}\n</section>`;
}

function body(one: ReviewSection): string {
  switch (one.part) {
    case 'text':
      return renderMarkdown(one.markdown).trim();
    case 'figures':
      return one.figures
        .map(
          ({ unitName, title, svg }) =>
            `<figure>\n<figcaption>${esc(unitName)}: ${esc(title)}</figcaption>\n${inline(svg)}\n</figure>`,
        )
        .join('\n');
    case 'findings':
      return `<ul>\n${one.findings.map(({ unitName, sentence }) => `<li>${esc(unitName)}: ${esc(sentence)}</li>`).join('\n')}\n</ul>`;
    case 'numbers':
      return `<table>\n${one.numbers
        .map(
          ({ unitName, label, value }) =>
            `<tr><th scope="row">${esc(unitName)}: ${esc(label)}</th><td>${esc(value)}</td></tr>`,
        )
        .join('\n')}\n</table>`;
    default:
      return `<ul>\n${one.points.map(point).join('\n')}\n</ul>`;
  }
}

function point({ about, text, evidence }: ReviewPoint): string {
  const head = about === undefined ? '' : `<strong>${esc(about)}:</strong> `;
  const rest = evidence.map((sentence) => `<div class="evidence">${esc(sentence)}</div>`).join('');
  return `<li>${head}${esc(text)}${rest}</li>`;
}

/** The drawing without the lines a file of its own begins with. */
const inline = (svg: string): string => svg.replace(/^\s*<\?xml[^>]*\?>\s*/, '').trim();
