/** One figure of an analysis: drawing, reading, findings, table, downloads, and where it came from. */
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import type { FigureDescription } from '../../../../libs/figures/index.js';
import { keys } from '../api/keys.js';
import type { AnalysisView } from '../contracts.js';
import { Button, Icon, Notice } from '../kit/index.js';
import { FigureTable } from './FigureTable.js';
import { InteractiveFigure } from './InteractiveFigure.js';
import '../styles/figures.css';

export type FigureLinks = AnalysisView['figures'][number];

export function useDescription(url: string) {
  return useQuery({
    queryKey: keys.description(url),
    queryFn: async (): Promise<FigureDescription> => {
      const answer = await fetch(url, { credentials: 'same-origin' });
      if (!answer.ok) throw new Error(`The figure could not be fetched (${answer.status}).`);
      return (await answer.json()) as FigureDescription;
    },
    // A figure of a finished analysis never changes.
    staleTime: Infinity,
  });
}

export function Figure({ links, level = 3 }: { links: FigureLinks; level?: 3 | 4 }) {
  const description = useDescription(links.descriptionUrl);
  const [tabled, setTabled] = useState(false);
  const Title = `h${level}` as const;
  return (
    <figure className="figure" id={links.name}>
      <figcaption className="figure-head">
        <div>
          <Title>{links.title}</Title>
          {description.data?.invented && <span className="tag">invented data</span>}
        </div>
        <div className="figure-links">
          <Button look="quiet" icon="table" onPress={() => setTabled(!tabled)} aria-expanded={tabled}>
            {tabled ? 'Hide the table' : 'Table'}
          </Button>
          <Download links={links} />
        </div>
      </figcaption>
      {description.data && <InteractiveFigure description={description.data} />}
      {description.isPending && <div className="figure-coming soft small">Fetching the figure…</div>}
      {description.isError && (
        <Notice tone="wrong" title="This figure could not be fetched.">
          <div>
            <Button onPress={() => void description.refetch()}>Try again</Button>
          </div>
        </Notice>
      )}
      {tabled && description.data && <FigureTable description={description.data} />}
      {description.data && <Foot description={description.data} />}
    </figure>
  );
}

function Download({ links }: { links: FigureLinks }) {
  const kinds = [
    { words: 'SVG', url: links.svgUrl },
    { words: 'PNG', url: links.pngUrl },
    { words: 'CSV', url: links.csvUrl },
  ];
  return kinds.map((kind) => (
    <a
      key={kind.words}
      className="button button-quiet"
      href={kind.url}
      download
      aria-label={`Download ${links.title} as ${kind.words}`}
    >
      <Icon name="download" size={15} /> {kind.words}
    </a>
  ));
}

function Foot({ description }: { description: FigureDescription }) {
  const marks = description.panels.flatMap((panel) => panel.marks);
  return (
    <div className="figure-foot small">
      {marks.length > 0 && (
        <ol className="figure-marks">
          {marks.map((mark) => (
            <li key={mark.id}>
              <span className={mark.filled ? 'mark-sign mark-sign-filled num' : 'mark-sign num'}>
                {mark.number}
              </span>
              <span>
                {mark.text}
                {/* The text says it too; the sign's filling alone would not be enough. */}
              </span>
            </li>
          ))}
        </ol>
      )}
      {description.notes.map((note) => (
        <p key={note} className="soft">
          {note}
        </p>
      ))}
      {(description.conditions ?? description.provenance) && (
        <p className="soft figure-from">
          {description.conditions && <>Measured: {description.conditions}. </>}
          {description.provenance && <>From: {description.provenance}</>}
        </p>
      )}
    </div>
  );
}
