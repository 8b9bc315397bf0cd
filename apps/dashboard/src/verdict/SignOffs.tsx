/** Who stands behind the verdict as it is now; an edit afterwards voids it. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import { isOwner, useHere } from '../app/session.js';
import type { LoanView, SignOffView } from '../contracts.js';
import { Button, ChoiceField, Icon, Instant, Refusal, TextArea } from '../kit/index.js';
import { useRefreshLoan } from '../loans/useLoan.js';

type Decision = SignOffView['decision'];
const decisions: readonly { value: Decision; words: string }[] = [
  { value: 'approve', words: 'I approve it as it stands' },
  { value: 'request-changes', words: 'I ask for changes' },
];

/** @param draftVersion of the text as it stands on this page, which may be newer than the loan's answer */
export function SignOffs({ loan, draftVersion }: { loan: LoanView; draftVersion: number }) {
  const { verdict } = loan;
  const signOffs = verdict.signOffs.map((signOff) => ({
    ...signOff,
    stands: signOff.stands && signOff.draftVersion === draftVersion,
  }));
  return (
    <section className="stack" aria-labelledby="sign-offs">
      <h2 id="sign-offs">Sign-off</h2>
      {signOffs.length === 0 && <p className="soft">Nobody has signed off yet.</p>}
      <ul className="lines">
        {signOffs.map((signOff) => (
          <li key={signOff.id} className="point" data-void={!signOff.stands || undefined}>
            <Icon name={signOff.decision === 'approve' ? 'check' : 'pencil'} size={16} />
            <div>
              <strong>{signOff.by}</strong>{' '}
              {signOff.decision === 'approve' ? 'approved' : 'asked for changes'}{' '}
              <span className="small soft">
                <Instant at={signOff.at} />
              </span>
              {!signOff.stands && <div className="small soft">Void: the verdict was changed afterwards.</div>}
              {signOff.note !== '' && <div>{signOff.note}</div>}
            </div>
          </li>
        ))}
      </ul>
      {verdict.version > 0 && <GiveSignOff loan={loan} draftVersion={draftVersion} />}
    </section>
  );
}

function GiveSignOff({ loan, draftVersion }: { loan: LoanView; draftVersion: number }) {
  const owner = isOwner(useHere().person);
  const [decision, setDecision] = useState<Decision>(owner ? 'request-changes' : 'approve');
  const [note, setNote] = useState('');
  const refresh = useRefreshLoan(loan.id);
  const giving = useMutation({
    mutationFn: () =>
      api.signOff(loan.id, { verdictVersion: loan.verdict.version, draftVersion, decision, note }),
    onSuccess: () => setNote(''),
    onSettled: refresh,
  });
  return (
    <div className="stack give-sign-off">
      {owner ? (
        <p className="small soft">
          The sign-off is a second pair of eyes: a co-host or editor gives it. You may ask for changes.
        </p>
      ) : (
        <ChoiceField
          label="Your word on this version"
          value={decision}
          options={decisions}
          onChange={setDecision}
        />
      )}
      <TextArea label="Note" rows={2} value={note} onChange={setNote} />
      <div>
        <Button look="main" busy={giving.isPending} onPress={() => giving.mutate()}>
          {decision === 'approve' ? 'Sign off' : 'Ask for changes'}
        </Button>
      </div>
      <Refusal error={giving.error} />
    </div>
  );
}
