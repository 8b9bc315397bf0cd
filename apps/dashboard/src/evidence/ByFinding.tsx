/** The other way round: a finding is picked, and who heard it stands beneath. */
import { useState } from 'react';
import type { EvidenceView } from '../contracts.js';
import { Icon } from '../kit/index.js';
import { count } from '../words/numbers.js';
import { remarkName, remarkOf, sentence } from './evidenceWords.js';
import { PairLine } from './PairLine.js';
import { PutTogether } from './PutTogether.js';
import { RemarkHead } from './RemarkHead.js';

export function ByFinding({ view }: { view: EvidenceView }) {
  const [picked, setPicked] = useState(view.findings[0]?.key ?? '');
  return (
    <section className="stack" aria-labelledby="findings">
      <h2 id="findings">Findings</h2>
      <ul className="lines">
        {view.findings.map((finding) => {
          const pairs = view.pairs.filter(({ findingKey }) => findingKey === finding.key);
          const heard = pairs.filter(({ decision }) => decision !== 'refused');
          const people = new Set(heard.map(({ remarkId }) => remarkOf(view, remarkId)?.by));
          const open = picked === finding.key;
          return (
            <li key={finding.key} className="stack">
              <button
                type="button"
                className="remark-name"
                aria-expanded={open}
                onClick={() => setPicked(open ? '' : finding.key)}
              >
                <strong>{sentence(finding.words)}</strong>{' '}
                <span className="small soft">
                  <Icon name={heard.length > 0 ? 'ear' : 'minus'} size={14} />{' '}
                  {heard.length === 0
                    ? 'heard by nobody'
                    : `heard by ${count(people.size, 'person', 'people')}`}
                </span>
              </button>
              {open && <Picked view={view} findingKey={finding.key} />}
            </li>
          );
        })}
      </ul>
    </section>
  );
}

function Picked({ view, findingKey }: { view: EvidenceView; findingKey: string }) {
  const finding = view.findings.find(({ key }) => key === findingKey);
  if (!finding) return null;
  const pairs = view.pairs.filter((pair) => pair.findingKey === findingKey);
  const alone = view.measuredOnly.find((one) => one.findingKey === findingKey);
  const free = view.remarks.filter(({ id }) => !pairs.some(({ remarkId }) => remarkId === id));
  return (
    <div className="stack">
      <p className="small">
        {finding.why} <span className="soft">From “{finding.setName}”.</span>
      </p>
      {alone && <p className="small">{alone.reason}</p>}
      {pairs.map((pair) => {
        const remark = remarkOf(view, pair.remarkId);
        return (
          remark && (
            <PairLine
              key={pair.remarkId}
              unitId={view.unitId}
              pair={pair}
              finding={finding}
              name={`${remarkName(remark)} with ${finding.words}`}
              title={<RemarkHead remark={remark} />}
            />
          )
        );
      })}
      <PutTogether
        unitId={view.unitId}
        label="Somebody else heard it"
        choices={free.map((remark) => ({ value: remark.id, words: remarkName(remark) }))}
        pairOf={(remarkId) => ({ remarkId, finding, version: 0 })}
      />
    </div>
  );
}
