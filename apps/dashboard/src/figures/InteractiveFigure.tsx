/**
 * A figure one can read off: the cursor follows pointer, finger or arrow keys and reads every curve; curves switch
 * on and off. The layout is the one the server prints from the same description.
 */
import { useMemo, useState, type KeyboardEvent, type PointerEvent } from 'react';
import {
  formatFrequency,
  layoutFigure,
  readAt,
  readMapAt,
  type FigureDescription,
  type FigureLayout,
} from '../../../../libs/figures/index.js';
import { useWidth } from '../timeline/useWidth.js';
import { figureColours } from './colours.js';
import { moved, nextAngle, rangeOf } from './cursorMoves.js';
import { FigureDrawing } from './FigureDrawing.js';
import { FigureReading } from './FigureReading.js';
import '../styles/figures.css';

const LEAST_PX = 280;

interface Cursor {
  readonly hz: number;
  readonly angleDeg: number;
}

export function InteractiveFigure({ description }: { description: FigureDescription }) {
  const [ref, width] = useWidth();
  const [hidden, setHidden] = useState<ReadonlySet<string>>(new Set());
  const [cursor, setCursor] = useState<Cursor | null>(null);
  const layout = useMemo(
    () => (width > 0 ? layoutFigure(description, { widthPx: Math.max(LEAST_PX, width) }, { hidden }) : null),
    [description, width, hidden],
  );
  const toggle = (id: string) => {
    const next = new Set(hidden);
    if (!next.delete(id)) next.add(id);
    setHidden(next);
  };
  return (
    <div className="figure-body" style={figureColours}>
      <div className="figure-place" ref={ref}>
        {layout && <Plot description={description} layout={layout} cursor={cursor} onCursor={setCursor} />}
      </div>
      <FigureReading description={description} cursor={cursor} hidden={hidden} onToggle={toggle} />
    </div>
  );
}

interface PlotProps {
  readonly description: FigureDescription;
  readonly layout: FigureLayout;
  readonly cursor: Cursor | null;
  readonly onCursor: (cursor: Cursor) => void;
}

function Plot({ description, layout, cursor, onCursor }: PlotProps) {
  const [lowestHz, highestHz] = rangeOf(description);
  const first = layout.panels[0];
  if (!first) return null;
  const top = first.box.y - layout.fontPx * 2;
  const last = layout.panels.at(-1) ?? first;
  const bottom = last.box.y + last.box.height + layout.fontPx * 3.1;
  const map = description.panels.find((panel) => panel.map)?.map;

  const point = (event: PointerEvent<SVGSVGElement>) => {
    const area = event.currentTarget.getBoundingClientRect();
    const scale = layout.widthPx / area.width;
    const hz = first.hzAt((event.clientX - area.left) * scale);
    if (!(hz >= lowestHz && hz <= highestHz)) return;
    onCursor({ hz, angleDeg: map ? last.valueAt((event.clientY - area.top) * scale + top) : 0 });
  };
  const press = (event: KeyboardEvent<SVGSVGElement>) => {
    const from = cursor ?? { hz: 1000, angleDeg: 0 };
    if (map && (event.key === 'ArrowUp' || event.key === 'ArrowDown')) {
      event.preventDefault();
      onCursor({
        ...from,
        angleDeg: nextAngle(map.angleDeg, from.angleDeg, event.key === 'ArrowUp' ? 1 : -1),
      });
      return;
    }
    const hz = moved(description, from.hz, event);
    if (hz === null) return;
    event.preventDefault();
    onCursor({ ...from, hz });
  };
  return (
    // No field can be a drawing: the cursor is a slider over the frequency axis.
    <svg
      className="figure-drawing"
      width={layout.widthPx}
      height={bottom - top}
      viewBox={`0 ${top} ${layout.widthPx} ${bottom - top}`}
      // oxlint-disable-next-line jsx-a11y/prefer-tag-over-role
      role="slider"
      tabIndex={0}
      aria-label={`${description.title}: frequency of the cursor. ${description.summary}`}
      aria-valuemin={lowestHz}
      aria-valuemax={highestHz}
      aria-valuenow={Math.round(cursor?.hz ?? 1000)}
      aria-valuetext={cursor ? spoken(description, cursor) : 'not set; use the arrow keys'}
      onPointerDown={point}
      onPointerMove={point}
      onKeyDown={press}
      onFocus={(event) => {
        if (!cursor && event.currentTarget.matches(':focus-visible')) onCursor({ hz: 1000, angleDeg: 0 });
      }}
    >
      <FigureDrawing layout={layout} />
      {cursor && <CursorLines layout={layout} cursor={cursor} description={description} />}
    </svg>
  );
}

function CursorLines({
  layout,
  cursor,
  description,
}: {
  layout: FigureLayout;
  cursor: Cursor;
  description: FigureDescription;
}) {
  const reading = readAt(description, cursor.hz);
  return (
    <g className="fig-cursor">
      {layout.panels.map((panel, index) => {
        const x = panel.xOf(cursor.hz);
        const drawn = new Set(panel.series.filter((series) => series.path !== '').map((series) => series.id));
        const id = description.panels[index]?.id;
        return (
          <g key={panel.id}>
            <path d={`M${x},${panel.box.y}v${panel.box.height}`} />
            {panel.map && <path d={`M${panel.box.x},${panel.yOf(cursor.angleDeg)}h${panel.box.width}`} />}
            {reading.rows
              .filter((row) => row.panelId === id && row.value !== null && drawn.has(row.seriesId))
              .map((row) => ({ row, y: panel.yOf(row.value!) }))
              .filter(({ y }) => y >= panel.box.y && y <= panel.box.y + panel.box.height)
              .map(({ row, y }) => (
                <circle key={row.seriesId} cx={x} cy={y} r={3.2} />
              ))}
          </g>
        );
      })}
    </g>
  );
}

function spoken(description: FigureDescription, cursor: Cursor): string {
  const map = description.panels.find((panel) => panel.map)?.map;
  const curves = readAt(description, cursor.hz).rows.map(
    (row) => `${row.label} ${row.value === null ? 'no value' : row.text}`,
  );
  const level = map ? [readMapAt(map, cursor.hz, cursor.angleDeg).text] : [];
  return [formatFrequency(cursor.hz), ...level, ...curves].join('; ');
}
