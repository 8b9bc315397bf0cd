/** What was sent to oneself lately, and how far it got. */
import { useMutation, useQueryClient } from '@tanstack/react-query';
import { Link } from 'react-router';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import type { NotificationsView } from '../contracts.js';
import { Button, Instant, Refusal } from '../kit/index.js';
import { deliveryStateWords, wayWords } from './deliveryWords.js';

export function Deliveries({ view }: { view: NotificationsView }) {
  const client = useQueryClient();
  const testing = useMutation({
    mutationFn: () => api.testNotifications(),
    onSuccess: (next) => client.setQueryData(keys.notifications, next),
  });
  const reachable = view.emailWorks || view.webhookUrl !== null;
  return (
    <div className="stack">
      <div className="row apart">
        <h3>Sent to you lately</h3>
        <div className="row">
          {view.recent.length > 0 && (
            <Button
              look="quiet"
              onPress={() => void client.invalidateQueries({ queryKey: keys.notifications })}
            >
              Look again
            </Button>
          )}
          {reachable && (
            <Button busy={testing.isPending} onPress={() => testing.mutate()}>
              Send me a test
            </Button>
          )}
        </div>
      </div>
      <Refusal error={testing.error} />
      {view.recent.length === 0 ? (
        <p className="soft">Nothing yet.</p>
      ) : (
        <ul className="lines">
          {view.recent.map((one) => (
            <li key={one.id}>
              {one.sentence}
              <div className="small soft">
                <span className={one.state === 'failed' ? 'delivery-failed' : undefined}>
                  {deliveryStateWords[one.state]}
                </span>{' '}
                {wayWords[one.channel]}, <Instant at={one.sentAt ?? one.createdAt} />
                {one.reason !== null && one.state !== 'sent' && <>: {one.reason}</>}
                {one.nextAttemptAt !== null && one.attempts > 0 && (
                  <>
                    ; tried again <Instant at={one.nextAttemptAt} relativeOnly />
                  </>
                )}
              </div>
            </li>
          ))}
        </ul>
      )}
      {view.recent.length > 0 && (
        <p>
          <Link to="/you/messages">Every message and every try</Link>
        </p>
      )}
    </div>
  );
}
