/** What the cursor reads, curve by curve, each with its switch. */
import {
  dashArray,
  formatFrequency,
  readAt,
  readMapAt,
  type FigureDescription,
  type FigureSeries,
} from '../../../../libs/figures/index.js';
import { curveColour } from './colours.js';

const NO_VALUE = '–';

export function FigureReading(props: {
  description: FigureDescription;
  cursor: { readonly hz: number; readonly angleDeg: number } | null;
  hidden: ReadonlySet<string>;
  onToggle: (seriesId: string) => void;
}) {
  const { description, cursor } = props;
  const values = new Map(
    cursor
      ? readAt(description, cursor.hz).rows.map((row) => [`${row.panelId} ${row.seriesId}`, row] as const)
      : [],
  );
  const map = description.panels.find((panel) => panel.map)?.map;
  return (
    <div className="figure-reading">
      <p className="figure-at">
        {cursor ? (
          <span className="num" title={`${cursor.hz} Hz`}>
            {map ? readMapAt(map, cursor.hz, cursor.angleDeg).text : formatFrequency(cursor.hz)}
          </span>
        ) : (
          <span className="small soft">Point at the figure to read it; the arrow keys work too.</span>
        )}
      </p>
      {description.panels.map(
        (panel) =>
          panel.series.length > 0 && (
            <ul key={panel.id} className="figure-curves" aria-label={`Curves: ${panel.y.label}`}>
              {panel.series.map((series) => {
                const row = values.get(`${panel.id} ${series.id}`);
                return (
                  <li key={series.id}>
                    <CurveSwitch
                      series={series}
                      on={!props.hidden.has(series.id)}
                      text={row?.text ?? NO_VALUE}
                      full={row && row.value !== null ? `${row.value} ${row.unit}` : undefined}
                      onToggle={() => props.onToggle(series.id)}
                    />
                  </li>
                );
              })}
            </ul>
          ),
      )}
    </div>
  );
}

function CurveSwitch(props: {
  series: FigureSeries;
  on: boolean;
  text: string;
  full: string | undefined;
  onToggle: () => void;
}) {
  const { series } = props;
  return (
    <button type="button" className="curve-switch" aria-pressed={props.on} onClick={props.onToggle}>
      <svg width="26" height="10" aria-hidden="true">
        <path
          d="M1 5h24"
          strokeWidth={series.emphasis === 'main' ? 3 : 2.2}
          strokeDasharray={dashArray(series.dash, 13)}
          style={{ stroke: curveColour(series.slot) }}
        />
      </svg>
      <span className="curve-name">{series.label}</span>
      <span className="num" title={props.full}>
        {props.text}
      </span>
    </button>
  );
}
