/** Where findings and remarks stand in frequency, above each other: what overlaps can be seen at once. */
import type { EvidenceView } from '../contracts.js';
import { formatFrequencyRange } from '../words/numbers.js';
import { placeOf } from '../listening/frequencyScale.js';
import { remarkName, sentence } from './evidenceWords.js';

interface Bar {
  readonly key: string;
  readonly fromHz: number;
  readonly toHz: number;
  readonly paired: boolean;
  readonly words: string;
}

export function EvidenceMap({ view }: { view: EvidenceView }) {
  const standing = view.pairs.filter(({ decision }) => decision !== 'refused');
  const findings = view.findings.map((finding): Bar => ({
    key: finding.key,
    fromHz: finding.fromHz,
    toHz: finding.toHz,
    paired: standing.some(({ findingKey }) => findingKey === finding.key),
    words: sentence(finding.words),
  }));
  const remarks = view.remarks.flatMap((remark): Bar[] => {
    const { fromHz, toHz } = remark.remark;
    if (fromHz === undefined || toHz === undefined) return [];
    const paired = standing.some(({ remarkId }) => remarkId === remark.id);
    return [{ key: remark.id, fromHz, toHz, paired, words: remarkName(remark) }];
  });
  return (
    <figure className="evidence-map">
      <figcaption className="small soft">
        Measured above, heard below, 20 Hz to 20 kHz; filled where the two belong together. The lists beneath
        say the same in words.
      </figcaption>
      <Band name="measured" bars={findings} />
      <div className="evidence-axis small num" aria-hidden="true">
        {[20, 100, 1000, 10_000].map((hz) => (
          <span key={hz} style={{ insetInlineStart: `${100 * placeOf(hz)}%` }}>
            {hz >= 1000 ? `${hz / 1000}k` : hz}
          </span>
        ))}
      </div>
      <Band name="heard" bars={remarks} />
    </figure>
  );
}

/** Bars in as few rows as keep them apart. */
function Band({ name, bars }: { name: string; bars: readonly Bar[] }) {
  const rows: Bar[][] = [];
  for (const bar of bars.toSorted((a, b) => a.fromHz - b.fromHz)) {
    const row = rows.find((one) => (one.at(-1)?.toHz ?? 0) < bar.fromHz);
    if (row) row.push(bar);
    else rows.push([bar]);
  }
  return (
    <div className="evidence-band" aria-hidden="true" data-band={name}>
      {rows.map((row) => (
        <div key={row[0]?.key} className="evidence-row">
          {row.map((bar) => (
            <span
              key={bar.key}
              className="evidence-bar"
              data-paired={bar.paired || undefined}
              title={`${bar.words}, ${formatFrequencyRange(bar.fromHz, bar.toHz)}`}
              style={{
                insetInlineStart: `${100 * placeOf(bar.fromHz)}%`,
                inlineSize: `${Math.max(0.8, 100 * (placeOf(bar.toHz) - placeOf(bar.fromHz)))}%`,
              }}
            />
          ))}
        </div>
      ))}
    </div>
  );
}
