/** A figure of the bundle: read by cursor, curves switched on and off, its table behind it. */
import { useState } from 'react';
import type { FigureDescription } from '../../../../libs/figures/index.js';
import { FigureTable } from '../figures/FigureTable.js';
import { InteractiveFigure } from '../figures/InteractiveFigure.js';

export function BundleFigure({ description }: { description: FigureDescription }) {
  const [tabled, setTabled] = useState(false);
  const marks = description.panels.flatMap((panel) => panel.marks);
  return (
    <div className="figure">
      <InteractiveFigure description={description} />
      <div>
        <button
          type="button"
          className="button button-quiet"
          aria-expanded={tabled}
          onClick={() => setTabled(!tabled)}
        >
          {tabled ? 'Hide the table' : 'Show the table'}
        </button>
      </div>
      {tabled && <FigureTable description={description} />}
      <div className="figure-foot small">
        {marks.length > 0 && (
          <ol className="figure-marks">
            {marks.map((mark) => (
              <li key={mark.id}>
                <span className={mark.filled ? 'mark-sign mark-sign-filled num' : 'mark-sign num'}>
                  {mark.number}
                </span>
                <span>{mark.text}</span>
              </li>
            ))}
          </ol>
        )}
        {description.notes.map((note) => (
          <p key={note} className="soft">
            {note}
          </p>
        ))}
        {description.provenance && <p className="soft figure-from">From: {description.provenance}</p>}
      </div>
    </div>
  );
}
