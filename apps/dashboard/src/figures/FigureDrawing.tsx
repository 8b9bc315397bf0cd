/** The unmoving part of a figure: grid, curves, marks. Drawn anew only when a curve or the width changes. */
import { memo } from 'react';
import {
  curveWidthPx,
  dashArray,
  type FigureLayout,
  type MapLayout,
  type MarkLayout,
  type PanelLayout,
  type PlacedText,
  type SeriesLayout,
} from '../../../../libs/figures/index.js';
import { curveColour } from './colours.js';

export const FigureDrawing = memo(function FigureDrawing({ layout }: { layout: FigureLayout }) {
  return layout.panels.map((panel) => <Panel key={panel.id} panel={panel} fontPx={layout.fontPx} />);
});

function Panel({ panel, fontPx }: { panel: PanelLayout; fontPx: number }) {
  const { box } = panel;
  const rank = { main: 2, normal: 1, faint: 0 } as const;
  const inOrder = panel.series.toSorted((a, b) => rank[a.emphasis] - rank[b.emphasis]);
  return (
    <g>
      {panel.zones.map((zone) => (
        <rect
          key={`${zone.x} ${zone.y}`}
          className="fig-zone"
          x={zone.x}
          y={zone.y}
          width={zone.width}
          height={zone.height}
        />
      ))}
      {panel.map ? <MapImage map={panel.map} panel={panel} fontPx={fontPx} /> : <Grid panel={panel} />}
      <rect className="fig-frame" x={box.x} y={box.y} width={box.width} height={box.height} />
      <Words text={panel.heading} />
      {panel.tickTexts.map((text) => (
        <Words key={`${text.x} ${text.y} ${text.text}`} text={text} />
      ))}
      {panel.guides.map((guide) => (
        <path key={guide.y} className="fig-guide" d={`M${box.x},${guide.y}h${box.width}`} />
      ))}
      {inOrder.map((series) => (
        <Curve key={series.id} series={series} fontPx={fontPx} />
      ))}
      {panel.guides.map((guide) => guide.label && <Words key={guide.y} text={guide.label} halo />)}
      {panel.zones.map((zone) => zone.label && <Words key={`${zone.x} ${zone.y}`} text={zone.label} halo />)}
      {panel.marks.map((mark) => (
        <Mark key={mark.id} mark={mark} />
      ))}
    </g>
  );
}

function Grid({ panel: { box, gridX, gridY } }: { panel: PanelLayout }) {
  const lines = (labelled: boolean) =>
    [
      ...gridX.filter((each) => each.labelled === labelled).map(({ at }) => `M${at},${box.y}v${box.height}`),
      ...gridY.filter((each) => each.labelled === labelled).map(({ at }) => `M${box.x},${at}h${box.width}`),
    ].join('');
  return (
    <>
      <path className="fig-grid-minor" d={lines(false)} />
      <path className="fig-grid" d={lines(true)} />
    </>
  );
}

function Curve({ series, fontPx }: { series: SeriesLayout; fontPx: number }) {
  const style = { stroke: curveColour(series.slot) };
  const width = curveWidthPx(series.emphasis, fontPx);
  const dashes = dashArray(series.dash, fontPx);
  return (
    <>
      <path
        className="fig-curve"
        d={series.path}
        style={style}
        strokeWidth={width}
        strokeDasharray={dashes}
      />
      {series.label && (
        <>
          <path className="fig-leader" d={series.label.leader} />
          <path
            className="fig-curve"
            d={series.label.sample}
            style={style}
            strokeWidth={width}
            strokeDasharray={dashes}
          />
          <Words text={series.label.text} />
        </>
      )}
    </>
  );
}

function Mark({ mark }: { mark: MarkLayout }) {
  return (
    <g className={mark.filled ? 'fig-mark fig-mark-filled' : 'fig-mark'}>
      <path d={mark.span + mark.stem} />
      <circle cx={mark.cx} cy={mark.cy} r={mark.radius}>
        <title>{mark.text}</title>
      </circle>
      <Words text={mark.numberText} />
    </g>
  );
}

function MapImage({ map, panel: { box }, fontPx }: { map: MapLayout; panel: PanelLayout; fontPx: number }) {
  const step = map.bar.height / map.barStops.length;
  const rim = fontPx * 0.26;
  const across = `M${map.bar.x},${map.barContourY}h${map.bar.width}`;
  return (
    <>
      <image
        href={map.href}
        x={box.x}
        y={box.y}
        width={box.width}
        height={box.height}
        preserveAspectRatio="none"
      />
      <path d={map.contour} fill="none" stroke="#ffffff" strokeWidth={rim} />
      <path d={map.contour} fill="none" stroke="#000000" strokeWidth={rim * 0.45} />
      {map.barStops.map((stop) => (
        <rect
          key={stop.offset}
          x={map.bar.x}
          y={map.bar.y + stop.offset * map.bar.height}
          width={map.bar.width}
          height={step + 0.6}
          fill={stop.colour}
        />
      ))}
      <path d={across} stroke="#ffffff" strokeWidth={rim} />
      <path d={across} stroke="#000000" strokeWidth={rim * 0.45} />
      {map.barTicks.map((text) => (
        <Words key={text.text} text={text} />
      ))}
    </>
  );
}

function Words({ text, halo }: { text: PlacedText; halo?: boolean }) {
  return (
    <text
      className={`fig-words-${text.tone}${halo ? ' fig-halo' : ''}`}
      x={text.x}
      y={text.y}
      fontSize={text.fontPx}
      fontWeight={text.weight}
      textAnchor={text.anchor}
    >
      {text.full && <title>{text.full}</title>}
      {text.text}
    </text>
  );
}
