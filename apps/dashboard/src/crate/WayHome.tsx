/** Carrier and tracking, and the proof that the crate was handed over. */
import { useMutation } from '@tanstack/react-query';
import { useState, useSyncExternalStore } from 'react';
import { FileTrigger } from 'react-aria-components/FileTrigger';
import { api } from '../api/api.js';
import type { DeliveryProofView, LoanView } from '../contracts.js';
import { RecordEditor, type FieldGroup } from '../edit/RecordEditor.js';
import { RecordFacts } from '../edit/RecordFacts.js';
import { Button, Icon, IconButton, Instant, Progress, Refusal } from '../kit/index.js';
import { useKeepLoan, useRefreshLoan } from '../loans/useLoan.js';
import { currentBatches, startBatch, subscribe } from '../upload/batches.js';
import '../styles/edit.css';

const groups: readonly FieldGroup<LoanView>[] = [
  {
    title: 'The way home',
    specs: [
      { key: 'returnCarrier', label: 'Carrier back', kind: 'text', nullable: true, none: 'not booked' },
      { key: 'returnTracking', label: 'Tracking number', kind: 'text', nullable: true, none: 'not known' },
      { key: 'deliveredOn', label: 'Delivered on', kind: 'day', none: 'not yet' },
      {
        key: 'deliveryConfirmedBy',
        label: 'Who took it in, or confirmed it',
        kind: 'text',
        nullable: true,
        none: 'nobody yet',
      },
      {
        key: 'deliveryNote',
        label: 'What proves the delivery',
        kind: 'area',
        hint: 'Where there is no file or photograph of it.',
        none: 'nothing noted',
      },
    ],
  },
];

export function WayHome({ loan }: { loan: LoanView }) {
  const [editing, setEditing] = useState(false);
  const keep = useKeepLoan();
  return (
    <section className="stack" aria-label="The way home">
      {editing ? (
        <RecordEditor
          record={loan}
          groups={groups}
          what="The way home"
          send={(changes, version) => api.changeLoan(loan.id, { ...changes, version })}
          reload={() => api.loan(loan.id)}
          onSaved={(saved) => {
            keep(saved);
            setEditing(false);
          }}
          onLeave={() => setEditing(false)}
        />
      ) : (
        <>
          <div className="row apart">
            <h2>{groups[0]?.title}</h2>
            <Button icon="pencil" onPress={() => setEditing(true)}>
              Change
            </Button>
          </div>
          <RecordFacts record={loan} specs={groups[0]?.specs ?? []} />
        </>
      )}
      <Proofs loan={loan} />
    </section>
  );
}

function Proofs({ loan }: { loan: LoanView }) {
  const refresh = useRefreshLoan(loan.id);
  const batches = useSyncExternalStore(subscribe, currentBatches);
  const coming = batches.filter((batch) => batch.target.proofOf === loan.id && batch.state !== 'done');
  return (
    <div className="stack">
      <h3>Proof of delivery</h3>
      {loan.deliveryProofs.length === 0 && (
        <p className="small soft">A photograph or PDF of the signed slip, or of the carrier’s page.</p>
      )}
      <ul className="lines">
        {loan.deliveryProofs.map((proof) => (
          <Proof key={proof.id} proof={proof} onChanged={refresh} />
        ))}
      </ul>
      {coming.map((batch) => (
        <div key={batch.id} className="small">
          {batch.state === 'failed' ? (
            batch.problems.map((problem) => (
              <p key={problem.file} className="field-error">
                {problem.message} {problem.remedy}
              </p>
            ))
          ) : (
            <Progress value={batch.sentBytes / Math.max(1, batch.allBytes)} label="The proof is on its way" />
          )}
        </div>
      ))}
      <div>
        <FileTrigger
          acceptedFileTypes={['image/jpeg', 'image/png', 'image/webp', 'application/pdf']}
          onSelect={(files) => {
            if (files) startBatch({ proofOf: loan.id }, [...files], () => void refresh());
          }}
        >
          <Button icon="camera">Add a proof</Button>
        </FileTrigger>
      </div>
    </div>
  );
}

function Proof({ proof, onChanged }: { proof: DeliveryProofView; onChanged: () => Promise<void> }) {
  const removing = useMutation({ mutationFn: () => api.removeProof(proof.id), onSettled: onChanged });
  return (
    <li className="row apart">
      <div>
        <a href={proof.url} target="_blank" rel="noreferrer">
          <Icon name={proof.isPicture ? 'camera' : 'download'} size={16} /> {proof.name}
        </a>
        <div className="small soft">
          {proof.addedBy}, <Instant at={proof.addedAt} />
        </div>
        <Refusal error={removing.error} />
      </div>
      <IconButton icon="cross" label={`Take ${proof.name} away`} onPress={() => removing.mutate()} />
    </li>
  );
}
