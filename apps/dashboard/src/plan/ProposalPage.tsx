/** What should change in the plan and why; a proposal to look at, and to accept. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useNavigate, useParams } from 'react-router';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import type { PlanView, ProposalView } from '../contracts.js';
import { Answer, Button, Instant, Notice, Refusal } from '../kit/index.js';
import { say } from '../live/toasts.js';
import { count } from '../words/numbers.js';
import { refusalOf } from '../words/refusals.js';
import { ChangeTable, changesInShort } from './ChangeTable.js';

export function ProposalPage() {
  const { proposalId } = useParams();
  return proposalId === undefined ? <NowAndNext /> : <Proposal key={proposalId} id={proposalId} />;
}

/** The plan in force, next to what follows from the facts now. */
function NowAndNext() {
  const plan = useQuery(queries.plan());
  const go = useNavigate();
  const proposing = useMutation({
    mutationFn: () => api.proposePlan(),
    onSuccess: (proposal) => go(`/plan/proposal/${proposal.id}`),
  });
  return (
    <Answer query={plan} what="the plan">
      {(view) => (
        <div className="stack">
          <PlanState view={view} />
          {view.changes.length > 0 && (
            <div>
              <Button look="main" busy={proposing.isPending} onPress={() => proposing.mutate()}>
                Work out a plan
              </Button>
            </div>
          )}
          <Refusal error={proposing.error} />
          <Causes view={view} />
          <Problems view={view} />
          <ChangeTable changes={view.changes} zone={view.timeZone} />
        </div>
      )}
    </Answer>
  );
}

function PlanState({ view }: { view: PlanView }) {
  return (
    <>
      <h2>
        {view.changes.length === 0
          ? 'The plan stands'
          : `${count(view.changes.length, 'booking')} should change`}
      </h2>
      <p className="soft">
        {view.acceptedAt === null ? (
          'No plan has been accepted yet.'
        ) : (
          <>
            The plan in force was accepted by {view.acceptedBy ?? 'somebody'}{' '}
            <Instant at={view.acceptedAt} relativeOnly />
            {view.changes.length === 0 ? '; nothing since asks for another one.' : '.'}
          </>
        )}
      </p>
    </>
  );
}

function Causes({ view }: { view: PlanView }) {
  if (view.causes.length === 0) return null;
  return (
    <section className="stack" aria-labelledby="causes">
      <h3 id="causes">Why</h3>
      <ul className="plain-list">
        {view.causes.map((cause) => (
          <li key={cause.sentence}>{cause.sentence}</li>
        ))}
      </ul>
    </section>
  );
}

function Problems({ view }: { view: PlanView }) {
  if (view.problems.length === 0) return null;
  return (
    <Notice tone="caution" title="Not everything can be honoured">
      <ul>
        {view.problems.map((problem) => (
          <li key={`${problem.code} ${problem.message}`}>{problem.message}</li>
        ))}
      </ul>
    </Notice>
  );
}

function Proposal({ id }: { id: string }) {
  const proposal = useQuery({
    queryKey: ['proposal', id],
    queryFn: () => api.proposal(id),
    // Kept as it was made; whether it still holds shows when it is accepted.
    staleTime: Infinity,
  });
  return (
    <Answer query={proposal} what="this proposal" gone="This proposal is no longer kept. Work out a new one.">
      {(view) => <OneProposal view={view} />}
    </Answer>
  );
}

function OneProposal({ view }: { view: ProposalView }) {
  const client = useQueryClient();
  const go = useNavigate();
  const inForce = useQuery(queries.plan()).data;
  const accepting = useMutation({
    mutationFn: () => api.acceptPlan(view.id, { version: view.version }),
    onSuccess: () => {
      for (const key of [keys.plan, keys.dashboard, keys.loans, ['loan'], ['proposal']])
        void client.invalidateQueries({ queryKey: key });
      say({
        tone: 'good',
        title: 'The plan is in force',
        text: `${count(view.changes.length, 'booking')} changed.`,
      });
      void go('/plan');
    },
  });
  const refusal = accepting.error ? refusalOf(accepting.error) : null;
  const fresh = refusal?.code === 'plan-changed' ? (refusal.conflict?.current as ProposalView) : null;
  const overtaken = inForce !== undefined && inForce.version !== view.version && !view.accepted;
  return (
    <div className="stack">
      <h2>
        {view.accepted ? 'This proposal was accepted' : `Proposal: ${count(view.changes.length, 'change')}`}
      </h2>
      <p className="soft">
        Worked out <Instant at={view.madeAt} relativeOnly />
        {view.changes.length > 0 && `: ${changesInShort(view.changes)}`}. It changes as little as possible;
        pinned bookings stay.
      </p>
      {fresh ? (
        <Outdated fresh={fresh} />
      ) : (
        <>
          {overtaken && (
            <Notice tone="caution" title="The plan has changed since this was worked out">
              <p>It can’t be accepted any more; work out a new one.</p>
            </Notice>
          )}
          {!view.accepted && view.changes.length > 0 && (
            <div className="row">
              <Button look="main" busy={accepting.isPending} onPress={() => accepting.mutate()}>
                Accept this plan
              </Button>
              <Button onPress={() => void go('/plan/proposal')}>Leave the plan as it is</Button>
            </div>
          )}
          {view.changes.length === 0 && <p>Nothing needs to change.</p>}
          <Refusal error={accepting.error} />
        </>
      )}
      <Causes view={view} />
      <Problems view={view} />
      <ChangeTable changes={view.changes} zone={view.timeZone} />
    </div>
  );
}

/** Somebody was quicker: what was refused stays below, the plan as it would be now is a press away. */
function Outdated({ fresh }: { fresh: ProposalView }) {
  const go = useNavigate();
  const client = useQueryClient();
  const show = () => {
    client.setQueryData(['proposal', fresh.id], fresh);
    void go(`/plan/proposal/${fresh.id}`);
  };
  return (
    <Notice
      tone="wrong"
      alert
      title="Not accepted: the plan, or what it rests on, changed in between. Nothing was changed."
    >
      <p>
        {fresh.changes.length === 0
          ? 'The plan as it stands now needs no change.'
          : `As things stand now ${count(fresh.changes.length, 'booking')} should change.`}
      </p>
      <div className="row">
        <Button onPress={show}>Look at the plan as it is now</Button>
      </div>
    </Notice>
  );
}
