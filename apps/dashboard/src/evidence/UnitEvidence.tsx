/** What was heard against what was measured; only for whoever may know both. */
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { queries } from '../api/queries.js';
import type { EvidenceView } from '../contracts.js';
import { Answer, ChoiceField, Notice } from '../kit/index.js';
import { OpenedData } from '../unit/OpenedData.js';
import { useUnit } from '../unit/useUnit.js';
import { count } from '../words/numbers.js';
import { ByFinding } from './ByFinding.js';
import { EvidenceMap } from './EvidenceMap.js';
import { HeardAndMeasured } from './HeardAndMeasured.js';
import '../styles/listening.css';
import '../styles/evidence.css';

export function UnitEvidence() {
  const { unit } = useUnit();
  return (
    <OpenedData unit={unit}>
      <Evidence unitId={unit.id} />
    </OpenedData>
  );
}

function Evidence({ unitId }: { unitId: string }) {
  const evidence = useQuery(queries.evidence(unitId));
  return (
    <Answer query={evidence} what="the evidence">
      {(found) => <Found view={found} />}
    </Answer>
  );
}

const ways = [
  { value: 'heard', words: 'what was heard' },
  { value: 'measured', words: 'what was measured' },
] as const;

function Found({ view }: { view: EvidenceView }) {
  const [from, setFrom] = useState<'heard' | 'measured'>('heard');
  if (view.remarks.length === 0 || view.findings.length === 0) return <NotYet view={view} />;
  return (
    <div className="stack evidence">
      {view.openSessions > 0 && (
        <p className="small soft">
          {count(view.openSessions, 'session')} not sealed yet: their remarks are not here.
        </p>
      )}
      <EvidenceMap view={view} />
      <ChoiceField label="Begin with" value={from} options={ways} onChange={setFrom} />
      {from === 'heard' ? <HeardAndMeasured view={view} /> : <ByFinding view={view} />}
    </div>
  );
}

function NotYet({ view }: { view: EvidenceView }) {
  const open = view.openSessions > 0 ? ` ${count(view.openSessions, 'session')} not sealed yet.` : '';
  return (
    <Notice icon="ear" title="Nothing to lay against each other yet.">
      <p>
        {view.remarks.length === 0
          ? `No sealed listening session has remarks.${open}`
          : 'No finished analysis has findings.'}
      </p>
    </Notice>
  );
}
