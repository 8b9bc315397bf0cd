/** Why a booking cannot stand where it was put, what is in the way, and the ways on. */
import { useMutation } from '@tanstack/react-query';
import { useNavigate } from 'react-router';
import { api } from '../api/api.js';
import type { BookingView } from '../contracts.js';
import { Button, Notice, Refusal } from '../kit/index.js';
import { refusalOf } from '../words/refusals.js';
import { whenWords, whoWhereWords } from './bookingWords.js';
import type { BookingChange, MoveRefused } from './useChangeBooking.js';

export function RefusedMove(props: {
  refused: MoveRefused;
  zone: string;
  today: string;
  busy: boolean;
  onAgain: (change: BookingChange) => void;
  onLeave: () => void;
}) {
  const { refused, zone, today } = props;
  const { change, fresh } = refused;
  if (fresh) {
    return (
      <div className="stack">
        <Notice tone="caution" alert title="Somebody changed this booking meanwhile. Yours was not applied.">
          <p>
            It now stands at {whenWords(fresh, zone, today)}; {whoWhereWords(fresh)}
            {fresh.pinned ? '; pinned' : ''}.
          </p>
        </Notice>
        <div className="row">
          <Button busy={props.busy} onPress={() => props.onAgain({ ...change, booking: fresh })}>
            Put mine over it
          </Button>
          <Button look="quiet" onPress={props.onLeave}>
            Leave theirs
          </Button>
        </div>
      </div>
    );
  }
  return <InTheWay {...props} />;
}

function InTheWay(props: { refused: MoveRefused; zone: string; today: string; onLeave: () => void }) {
  const { change, cause } = props.refused;
  const refusal = refusalOf(cause);
  const inTheWay = refusal.code === 'in-the-way' ? (refusal.conflict?.current as BookingView[]) : [];
  const go = useNavigate();
  const proposing = useMutation({
    mutationFn: () =>
      api.proposePlan({
        moves: [
          {
            bookingId: change.booking.id,
            start: change.start ?? change.booking.start,
            ...(change.personIds ? { personIds: change.personIds } : {}),
          },
        ],
      }),
    onSuccess: (proposal) => go(`/plan/proposal/${proposal.id}`),
  });
  return (
    <div className="stack">
      <Notice
        tone="wrong"
        alert
        title={inTheWay.length > 0 ? 'Something is in the way. Nothing was moved.' : refusal.message}
      >
        {inTheWay.length > 0 && (
          <ul>
            {inTheWay.map((one) => (
              <li key={one.id}>
                {one.label} of {one.loanTitle}: {whenWords(one, props.zone, props.today)};{' '}
                {whoWhereWords(one)}
              </li>
            ))}
          </ul>
        )}
      </Notice>
      <div className="row">
        {inTheWay.length > 0 && (
          <Button look="main" busy={proposing.isPending} onPress={() => proposing.mutate()}>
            See what would give way
          </Button>
        )}
        <Button onPress={props.onLeave}>Leave it where it was</Button>
      </div>
      <Refusal error={proposing.error} />
    </div>
  );
}
