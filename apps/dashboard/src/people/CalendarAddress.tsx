/** One's own plan as a private calendar, for any calendar program that reads addresses. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import type { CalendarFeedView } from '../contracts.js';
import { Answer, Button, CopyText, Dialog, Instant, Refusal } from '../kit/index.js';

export function CalendarAddress() {
  const feed = useQuery(queries.calendarFeed());
  return (
    <section className="section stack narrow" aria-labelledby="calendar">
      <h2 id="calendar">Your plan in your calendar</h2>
      <p className="soft">
        A private address that calendar programs read: your bookings with reminders, and the days loans are
        due back. Whoever has the address can read it; titles under embargo are not in it.
      </p>
      <Answer query={feed} what="your calendar address">
        {(view) => <Address view={view} />}
      </Answer>
    </section>
  );
}

function Address({ view }: { view: CalendarFeedView }) {
  const client = useQueryClient();
  const [asking, setAsking] = useState<'renew' | 'revoke' | null>(null);
  const settled = (next?: CalendarFeedView) => {
    setAsking(null);
    if (next) client.setQueryData(keys.calendarFeed, { ...next, path: undefined });
    else void client.invalidateQueries({ queryKey: keys.calendarFeed });
  };
  const making = useMutation({ mutationFn: () => api.makeCalendarFeed(), onSuccess: settled });
  const revoking = useMutation({
    mutationFn: () => api.revokeCalendarFeed(),
    onSuccess: () => {
      making.reset();
      settled();
    },
  });
  const path = making.data?.path;
  return (
    <>
      {path !== undefined && (
        <CopyText
          label="The address"
          hint="Shown only now: add it to your calendar as a subscription before you leave this page."
          value={`${window.location.origin}${path}`}
        />
      )}
      {view.active && path === undefined && (
        <p>
          An address was made <Instant at={view.createdAt} relativeOnly />;{' '}
          {view.readAt === null ? (
            'no calendar has read it yet.'
          ) : (
            <>
              a calendar last read it <Instant at={view.readAt} relativeOnly />.
            </>
          )}
        </p>
      )}
      <div className="row">
        {view.active ? (
          <>
            <Button onPress={() => setAsking('renew')}>Make another address</Button>
            <Button look="grave" onPress={() => setAsking('revoke')}>
              Revoke it
            </Button>
          </>
        ) : (
          <Button look="main" busy={making.isPending} onPress={() => making.mutate()}>
            Make a calendar address
          </Button>
        )}
      </div>
      <Refusal error={making.error ?? revoking.error} />
      <Dialog
        title={asking === 'renew' ? 'Make another address' : 'Revoke the address'}
        open={asking !== null}
        onClose={() => setAsking(null)}
      >
        <p>Calendars that read the address there is now will find nothing at it any more.</p>
        <div className="row">
          <Button
            look="grave"
            busy={making.isPending || revoking.isPending}
            onPress={() => (asking === 'renew' ? making.mutate() : revoking.mutate())}
          >
            {asking === 'renew' ? 'Make another' : 'Revoke'}
          </Button>
          <Button onPress={() => setAsking(null)}>Leave it as it is</Button>
        </div>
      </Dialog>
    </>
  );
}
