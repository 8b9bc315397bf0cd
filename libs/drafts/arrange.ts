/** A text with headings, put into the order of an outline. Nothing of the text is ever left out. */
import type { OutlineItem, OutlinePart } from '../contracts/index.js';

export interface TextSection {
  /** Empty for what stands before the first heading. */
  readonly title: string;
  readonly markdown: string;
}
export type Arranged =
  | { readonly part: 'text'; readonly title: string; readonly markdown: string }
  | { readonly part: Exclude<OutlinePart, 'text'>; readonly title: string };

const heading = /^ {0,3}#{1,2}[ \t]+(.+?)[ \t]*#*[ \t]*$/;
const fence = /^ {0,3}(`{3,}|~{3,})/;

/** Sections under headings of the first two levels; headings within fenced code are code. */
export function sectionsOf(text: string): TextSection[] {
  const sections: { title: string; lines: string[] }[] = [{ title: '', lines: [] }];
  let open: string | null = null;
  for (const line of text.split('\n')) {
    const mark = fence.exec(line)?.[1];
    if (mark !== undefined) open = open === null ? mark : mark.startsWith(open) ? null : open;
    const title = open === null && mark === undefined ? heading.exec(line)?.[1] : undefined;
    if (title === undefined) sections.at(-1)?.lines.push(line);
    else sections.push({ title, lines: [] });
  }
  return sections
    .map(({ title, lines }) => ({ title, markdown: lines.join('\n').trim() }))
    .filter(({ title, markdown }, index) => index > 0 || title !== '' || markdown !== '');
}

export const sameHeading = (a: string, b: string): boolean =>
  a.trim().toLocaleLowerCase('en') === b.trim().toLocaleLowerCase('en');

/**
 * Parts in the order of the outline. A heading the outline does not name stays behind the one it follows in the
 * text; what stands before the first heading comes first.
 */
export function arrange(text: string, outline: readonly OutlineItem[]): Arranged[] {
  const { lead, named } = bundles(text, outline);
  const parts = outline.flatMap((item): Arranged[] => {
    if (item.part !== 'text') return [{ part: item.part, title: item.title }];
    const found = named.filter(({ key }) => sameHeading(key, item.title));
    return found.flatMap(({ sections }) => sections.map(asPart));
  });
  return [...lead.map(asPart), ...parts];
}

const asPart = ({ title, markdown }: TextSection): Arranged => ({ part: 'text', title, markdown });

function bundles(text: string, outline: readonly OutlineItem[]) {
  const titles = outline.filter(({ part }) => part === 'text').map(({ title }) => title);
  const lead: TextSection[] = [];
  const named: { key: string; sections: TextSection[] }[] = [];
  for (const section of sectionsOf(text)) {
    if (titles.some((title) => sameHeading(title, section.title)))
      named.push({ key: section.title, sections: [section] });
    else (named.at(-1)?.sections ?? lead).push(section);
  }
  return { lead, named };
}

/** Headings of the outline that the text does not have yet, in order. */
export function missingHeadings(text: string, outline: readonly OutlineItem[]): string[] {
  const there = sectionsOf(text).map(({ title }) => title);
  return outline
    .filter(({ part, title }) => part === 'text' && !there.some((one) => sameHeading(one, title)))
    .map(({ title }) => title);
}
