/** A review put together in the order of its outline: what pages, previews and files are made from. */
import {
  suggestionWords,
  type OutlineItem,
  type Point,
  type PreviewPart,
  type Suggestion,
} from '../contracts/index.js';
import { arrange } from './arrange.js';
import { evidenceSentences, type Points } from './points.js';

export interface ReviewFigure {
  readonly unitName: string;
  readonly title: string;
  /** Unique among the figures of the review, fit for a file name. */
  readonly name: string;
  readonly svg: string;
  readonly csv: string;
}
export interface ReviewFinding {
  readonly unitName: string;
  readonly sentence: string;
}
export interface ReviewNumber {
  readonly unitName: string;
  readonly label: string;
  readonly value: string;
}
export interface ReviewPoint {
  readonly about?: string;
  readonly text: string;
  readonly evidence: readonly string[];
}
export interface ReviewMaterial {
  readonly teamName: string;
  readonly title: string;
  readonly makerName: string;
  readonly units: readonly string[];
  readonly invented: boolean;
  readonly text: string;
  readonly points: Points;
  readonly outline: readonly OutlineItem[];
  readonly figures: readonly ReviewFigure[];
  readonly findings: readonly ReviewFinding[];
  readonly numbers: readonly ReviewNumber[];
}

export type ReviewSection =
  | { readonly part: 'text'; readonly title: string; readonly markdown: string }
  | {
      readonly part: 'pros' | 'cons' | 'suggestions';
      readonly title: string;
      readonly points: readonly ReviewPoint[];
    }
  | { readonly part: 'figures'; readonly title: string; readonly figures: readonly ReviewFigure[] }
  | { readonly part: 'findings'; readonly title: string; readonly findings: readonly ReviewFinding[] }
  | { readonly part: 'numbers'; readonly title: string; readonly numbers: readonly ReviewNumber[] };

export interface Review extends Pick<
  ReviewMaterial,
  'teamName' | 'title' | 'makerName' | 'units' | 'invented'
> {
  readonly sections: readonly ReviewSection[];
}

/** @param hidden parts of which nothing may be in the review, nor in what rests on them */
export function reviewOf(material: ReviewMaterial, hidden: ReadonlySet<PreviewPart> = new Set()): Review {
  const { teamName, title, makerName, units, invented } = material;
  const sections = arrange(material.text, material.outline)
    .map((item): ReviewSection => {
      const { title: heading } = item;
      switch (item.part) {
        case 'text':
          return item;
        case 'figures':
          return { part: item.part, title: heading, figures: material.figures };
        case 'findings':
          return { part: item.part, title: heading, findings: material.findings };
        case 'numbers':
          return { part: item.part, title: heading, numbers: material.numbers };
        default:
          return {
            part: item.part,
            title: heading,
            points: material.points[item.part].map((point) => said(point, hidden)),
          };
      }
    })
    .filter((section) => !hidden.has(previewPartOf(section)) && hasSomething(section));
  return { teamName, title, makerName, units, invented, sections };
}

export function previewPartOf({ part }: Pick<ReviewSection, 'part'>): PreviewPart {
  return part === 'pros' || part === 'cons' ? 'pros-cons' : part;
}

/** Evidence quotes findings, so it goes where they go; a figure or a number hidden is not named in it either. */
function said(point: Point | Suggestion, hidden: ReadonlySet<PreviewPart>): ReviewPoint {
  const withheld = hidden.has('findings') || hidden.has('numbers');
  const refs = point.refs.filter(({ kind }) => kind !== 'figure' || !hidden.has('figures'));
  return {
    ...('about' in point ? { about: suggestionWords[point.about] } : {}),
    text: point.text,
    evidence: withheld ? [] : evidenceSentences({ ...point, refs }),
  };
}

function hasSomething(section: ReviewSection): boolean {
  switch (section.part) {
    case 'text':
      return section.title !== '' || section.markdown !== '';
    case 'figures':
      return section.figures.length > 0;
    case 'findings':
      return section.findings.length > 0;
    case 'numbers':
      return section.numbers.length > 0;
    default:
      return section.points.length > 0;
  }
}
