/** From what was heard: each remark with what explains it, what was heard only, what was measured only. */
import type { EvidenceFindingView, EvidenceView } from '../contracts.js';
import { causeWords, findingOf, remarkName, remarkOf, sentence } from './evidenceWords.js';
import { PairLine } from './PairLine.js';
import { PutTogether } from './PutTogether.js';
import { RemarkHead } from './RemarkHead.js';

export function HeardAndMeasured({ view }: { view: EvidenceView }) {
  const paired = view.remarks.filter(({ id }) => view.pairs.some(({ remarkId }) => remarkId === id));
  return (
    <>
      <section className="stack" aria-labelledby="paired">
        <h2 id="paired">Heard and measured</h2>
        {paired.length === 0 && <p className="soft">No remark has a finding.</p>}
        <ul className="lines">
          {paired.map((remark) => (
            <li key={remark.id} className="stack">
              <RemarkHead remark={remark} />
              {view.pairs
                .filter(({ remarkId }) => remarkId === remark.id)
                .map((pair) => {
                  const finding = findingOf(view, pair.findingKey);
                  return (
                    finding && (
                      <PairLine
                        key={pair.findingKey}
                        unitId={view.unitId}
                        pair={pair}
                        finding={finding}
                        name={`${remarkName(remark)} with ${finding.words}`}
                        title={<strong>{sentence(finding.words)}</strong>}
                      />
                    )
                  );
                })}
              <AnotherFinding view={view} remarkId={remark.id} />
            </li>
          ))}
        </ul>
      </section>
      <HeardOnly view={view} />
      <MeasuredOnly view={view} />
      <Lost view={view} />
    </>
  );
}

function HeardOnly({ view }: { view: EvidenceView }) {
  const alone = view.heardOnly.filter(
    ({ remarkId }) => !view.pairs.some((pair) => pair.remarkId === remarkId && pair.decision !== 'refused'),
  );
  return (
    <section className="stack" aria-labelledby="heard-only">
      <h2 id="heard-only">Heard only</h2>
      {alone.length === 0 && <p className="soft">Every remark has a finding.</p>}
      <ul className="lines">
        {alone.map(({ remarkId, likelyCause, reason }) => {
          const remark = remarkOf(view, remarkId);
          return (
            remark && (
              <li key={remarkId} className="stack">
                <RemarkHead remark={remark} />
                <p className="small">
                  <strong>{sentence(causeWords(likelyCause))}.</strong> {reason}
                </p>
                <AnotherFinding view={view} remarkId={remarkId} />
              </li>
            )
          );
        })}
      </ul>
    </section>
  );
}

function MeasuredOnly({ view }: { view: EvidenceView }) {
  return (
    <section className="stack" aria-labelledby="measured-only">
      <h2 id="measured-only">Measured only</h2>
      {view.measuredOnly.length === 0 && <p className="soft">Every finding was heard.</p>}
      <ul className="lines">
        {view.measuredOnly.map(({ findingKey, reason }) => {
          const finding = findingOf(view, findingKey);
          return (
            finding && (
              <li key={findingKey}>
                <strong>{sentence(finding.words)}</strong>
                <p className="small">{reason}</p>
              </li>
            )
          );
        })}
      </ul>
    </section>
  );
}

function Lost({ view }: { view: EvidenceView }) {
  if (view.lost.length === 0) return null;
  return (
    <section className="stack" aria-labelledby="lost">
      <h2 id="lost">Decided on what is not measured any more</h2>
      <ul className="lines">
        {view.lost.map(({ remarkId, findingKind, findingHz, decision }) => (
          <li key={`${remarkId} ${findingKind} ${findingHz}`} className="small">
            {remarkName(remarkOf(view, remarkId) ?? gone)}: {decision}, with a{' '}
            {findingKind.replaceAll('-', ' ')} that the newest results do not have.
          </li>
        ))}
      </ul>
    </section>
  );
}
const gone = {
  remark: { id: '', text: 'a remark', sign: 'neutral', severity: 1 },
  by: 'its listener',
} as EvidenceView['remarks'][number];

function AnotherFinding({ view, remarkId }: { view: EvidenceView; remarkId: string }) {
  const taken = new Set(
    view.pairs.filter((pair) => pair.remarkId === remarkId).map(({ findingKey }) => findingKey),
  );
  const free = view.findings.filter(({ key }) => !taken.has(key));
  return (
    <details className="small">
      <summary>Put it together with a finding</summary>
      <PutTogether
        unitId={view.unitId}
        label="Finding"
        choices={free.map(({ key, words }) => ({ value: key, words: sentence(words) }))}
        pairOf={(key) => withFinding(free, key, remarkId)}
      />
    </details>
  );
}

function withFinding(free: readonly EvidenceFindingView[], key: string, remarkId: string) {
  const finding = free.find((one) => one.key === key);
  return finding && { remarkId, finding, version: 0 };
}
