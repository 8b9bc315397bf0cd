/** Work that was given up: what it was to do, why it could not, and trying it again. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { FailureView } from '../contracts.js';
import { Button, Instant, Refusal } from '../kit/index.js';
import { say } from '../live/toasts.js';

export function GivenUp({ failures }: { failures: readonly FailureView[] }) {
  if (failures.length === 0) return null;
  return (
    <section className="section stack" aria-labelledby="given-up">
      <h2 id="given-up">Given up</h2>
      <ul className="lines">
        {failures.map((failure) => (
          <Failure key={`${failure.kind} ${failure.id}`} failure={failure} />
        ))}
      </ul>
    </section>
  );
}

function Failure({ failure }: { failure: FailureView }) {
  const client = useQueryClient();
  const { kind, id, what, reason, since } = failure;
  const retrying = useMutation({
    mutationFn: () => api.retryFailure({ kind, id }),
    onSuccess: (view) => {
      client.setQueryData(keys.operations, view);
      say({ tone: 'good', title: 'Tried again', text: what });
    },
    onError: () => client.invalidateQueries({ queryKey: keys.operations }),
  });
  return (
    <li className="stack">
      <div className="row apart">
        <span>
          <strong>{what}</strong>{' '}
          <span className="small soft">
            <Instant at={since} relativeOnly />
          </span>
        </span>
        <Button busy={retrying.isPending} onPress={() => retrying.mutate()}>
          Try again<span className="hidden">: {what}</span>
        </Button>
      </div>
      <p className="operations-reason">{reason}</p>
      <Refusal error={retrying.error} />
    </li>
  );
}
