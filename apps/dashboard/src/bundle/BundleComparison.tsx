/** The reviewed unit and the published ones that came along, laid over each other as the reader chooses. */
import { useMemo, useState } from 'react';
import { describeComparison, type ComparedUnit } from '../../../../libs/figures/index.js';
import { comparedCurves } from '../../../../libs/contracts/curveNames.js';
import { comparedCurveWords, isIndex, type Alignment, type ComparedCurve } from '../archive/archiveWords.js';
import type { BundlePageData, ComparedCurves } from '../contracts.js';
import { BundleFigure } from './BundleFigure.js';

export function BundleComparison({ data }: { data: BundlePageData }) {
  const [curve, setCurve] = useState<ComparedCurve>('listeningWindow');
  const [alignment, setAlignment] = useState<Alignment>('sensitivity');
  const [left, setLeft] = useState<ReadonlySet<string>>(new Set());
  const chosen = useMemo(() => data.compared.filter(({ label }) => !left.has(label)), [data, left]);
  const description = useMemo(
    () =>
      describeComparison(chosen.map(asCompared), curve, alignment, {
        title: chosen.map(({ label }) => label).join(' · '),
        provenance: data.provenance,
        invented: data.invented,
      }),
    [chosen, curve, alignment, data],
  );
  const toggle = (label: string) => {
    const next = new Set(left);
    if (!next.delete(label)) next.add(label);
    setLeft(next);
  };
  return (
    <div className="bundle-compare">
      <div className="bundle-choices">
        <div className="bundle-choice">
          <label htmlFor="compared-curve">Curve</label>
          <select
            id="compared-curve"
            value={curve}
            onChange={(event) => setCurve(event.target.value as ComparedCurve)}
          >
            {comparedCurves.map((each) => (
              <option key={each} value={each}>
                {comparedCurveWords[each]}
              </option>
            ))}
          </select>
        </div>
        {!isIndex(curve) && (
          <div className="bundle-choice">
            <label htmlFor="compared-levels">Levels</label>
            <select
              id="compared-levels"
              value={alignment}
              onChange={(event) => setAlignment(event.target.value as Alignment)}
            >
              <option value="sensitivity">Aligned by sensitivity</option>
              <option value="as-measured">As measured</option>
            </select>
          </div>
        )}
        <fieldset className="bundle-choice">
          <legend>Units</legend>
          {data.compared.map(({ label }) => (
            <label key={label} className="bundle-tick">
              <input type="checkbox" checked={!left.has(label)} onChange={() => toggle(label)} />
              {label}
            </label>
          ))}
        </fieldset>
      </div>
      {description ? (
        <BundleFigure description={description} />
      ) : (
        <output className="soft">
          Fewer than two of the ticked units have this curve. Tick another, or choose another curve.
        </output>
      )}
    </div>
  );
}

const asCompared = ({ label, frequencyHz, curves, sensitivity }: ComparedCurves): ComparedUnit => ({
  label,
  result: {
    frequencyHz,
    curves,
    ...(sensitivity ? { sensitivity } : {}),
  } as unknown as ComparedUnit['result'],
});
