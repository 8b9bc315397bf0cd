/**
 * The page of a bundle: one file that needs no network. Words, numbers and drawings stand in it as they are; the
 * script makes the figures readable by cursor and lays units over each other, and does not run anything else.
 */
import { createHash } from 'node:crypto';
import type { BundlePageData, ReviewContent, ReviewVersion } from '../contracts/index.js';
import { drawSvg, type FigureDescription } from '../figures/index.js';
import { html, Html } from './html.js';
import { markdownHtml } from './markdownHtml.js';
import { compareSection, figureParts, numbersTable, pointList, unitFacts } from './pageParts.js';
import {
  cautionSection,
  dataSection,
  licenceSection,
  listeningSection,
  measuredSection,
} from './pageSources.js';
import type { ShownFigure } from './unitFiles.js';
import type { BundleFile } from './zipFiles.js';

/** Built from the dashboard's own figures; see `apps/dashboard/src/bundle`. */
export interface PageAssets {
  readonly script: string;
  readonly style: string;
}
export interface PageUnit {
  readonly slug: string;
  readonly figures: readonly ShownFigure[];
}
export interface PageInput {
  readonly content: ReviewContent;
  /** In the order of `content.units`. */
  readonly units: readonly PageUnit[];
  readonly comparison: FigureDescription | undefined;
  readonly data: BundlePageData;
  readonly files: readonly BundleFile[];
  /** Null for a preview, which is not published. */
  readonly version: ReviewVersion | null;
  readonly earlier: readonly ReviewVersion[];
}

export function reviewPage(input: PageInput, assets: PageAssets): string {
  const { content } = input;
  const head = html`<meta charset="utf-8" />
    <meta http-equiv="Content-Security-Policy" content="${policyFor(assets)}" />
    <meta name="viewport" content="width=device-width, initial-scale=1" />
    <meta name="color-scheme" content="light dark" />
    <meta name="referrer" content="no-referrer" />
    <title>${content.title} · ${content.teamName}</title>`;
  return `<!doctype html>
<html lang="en">
<head>
${head.text}
<style>${assets.style}</style>
</head>
<body>
${bodyOf(input).text}
<script type="application/json" id="review-data">${inertJson(input.data)}</script>
<script>${assets.script}</script>
</body>
</html>
`;
}

/** Nothing is fetched, sent or framed; of scripts and styles exactly those in the page are taken. */
export function policyFor({ script, style }: PageAssets): string {
  const hash = (text: string) => `'sha256-${createHash('sha256').update(text).digest('base64')}'`;
  return [
    "default-src 'none'",
    `script-src ${hash(script)}`,
    `style-src ${hash(style)}`,
    'img-src data:',
    'font-src data:',
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
}

/** JSON that cannot end the element it stands in. */
const inertJson = (value: unknown): string => JSON.stringify(value).replaceAll('<', String.raw`\u003c`);

function bodyOf(input: PageInput): Html {
  const { content } = input;
  return html`<a class="skip" href="#main">To the review</a>
    ${masthead(input)}
    <main id="main" class="bundle-main">
      ${contents(input)} ${reviewSection(content)} ${numbersTable(content.units)}
      ${content.units.map((unit, index) => {
        const own = input.units[index];
        return own
          ? html`<section class="bundle-section" id="${own.slug}">
              <h2>${unit.name}</h2>
              ${unitFacts(unit)}
              ${own.figures.length === 0 && html`<p class="soft">No measurements are part of this review.</p>`}
              ${own.figures.map((figure) => figureParts(figure, stillOf(figure.description)))}
            </section>`
          : '';
      })}
      ${compareSection(input.comparison, input.comparison ? stillOf(input.comparison) : undefined)}
      ${listeningSection(content.listening)} ${measuredSection(content.units)}
      ${cautionSection(content.cautions)} ${dataSection(input.files)} ${licenceSection(content)}
    </main>`;
}

/** For paper, and for browsers that run nothing. */
const stillOf = (description: FigureDescription): Html =>
  new Html(drawSvg(description, { size: 'print', theme: 'paper' }));

function masthead({ content, version, earlier }: PageInput): Html {
  return html`<header class="bundle-head">
    ${version === null && html`<p class="bundle-mark" role="note">Preview for the team. This review is not published.</p>`}
    ${content.invented && html`<p class="bundle-mark" role="note">Everything here is invented: makers, people, units and data.</p>`}
    <p class="bundle-team">${content.teamName}</p>
    <h1>${content.title}</h1>
    <p class="soft">
      ${[...new Set(content.units.map((unit) => `${unit.makerName}: ${unit.name}`))].join(' · ')}
    </p>
    ${version && html`<p class="soft small">Version ${version.number}, ${dayWords(version.publishedAt)}</p>`}
    ${version && version.changeNote !== '' && html`<div class="bundle-change" role="note"><strong>Corrected in this version:</strong> ${version.changeNote}</div>`}
    ${
      earlier.length > 0 &&
      html`<details class="small">
        <summary>Earlier versions</summary>
        <ul>
          ${earlier.map(
            (one) =>
              html`<li>
                Version ${one.number}, ${dayWords(one.publishedAt)}:
                superseded${one.changeNote !== '' && html`. ${one.changeNote}`}
              </li>`,
          )}
        </ul>
      </details>`
    }
  </header>`;
}

const dayWords = (instant: string): string =>
  new Intl.DateTimeFormat('en-GB', { dateStyle: 'long', timeZone: 'UTC' }).format(new Date(instant));

function contents({ content, units, comparison }: PageInput): Html {
  const links: (readonly [id: string, words: string] | false)[] = [
    ['review', 'Verdict'],
    ['numbers', 'Numbers'],
    ...content.units.map((unit, index) => [units[index]?.slug ?? '', unit.name] as const),
    comparison !== undefined && ['compare', 'Compare'],
    content.listening.length > 0 && ['listening', 'Listening'],
    ['measured', 'How it was measured'],
    ['data', 'Data'],
    ['licence', 'Licence'],
  ];
  return html`<nav class="bundle-contents small" aria-label="On this page">
    ${links.map((link) => link && html`<a href="#${link[0]}">${link[1]}</a> `)}
  </nav>`;
}

function reviewSection({ text }: ReviewContent): Html {
  return html`<section class="bundle-section" id="review">
    <h2>Verdict</h2>
    <div class="bundle-text">${new Html(markdownHtml(text.markdown))}</div>
    <div class="bundle-points">
      ${pointList('For it', text.pros)} ${pointList('Against it', text.cons)}
      ${pointList('Suggestions', text.suggestions)}
    </div>
  </section>`;
}
