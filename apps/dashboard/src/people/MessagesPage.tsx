/** Everything sent to oneself, with every try, and sending one once more. */
import { useInfiniteQuery, useMutation, useQueryClient } from '@tanstack/react-query';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import type { DeliveryLogView, DeliveryTryView } from '../contracts.js';
import { Answer, Button, Instant, PageHead, Refusal } from '../kit/index.js';
import { count } from '../words/numbers.js';
import { deliveryStateWords, wayWords } from './deliveryWords.js';
import '../styles/notices.css';

type Logged = DeliveryLogView['deliveries'][number];

export function MessagesPage() {
  const client = useQueryClient();
  const log = useInfiniteQuery(queries.deliveries());
  return (
    <>
      <PageHead
        title="Sent to you"
        beneath="Each message by e-mail and webhook, and what came of every try. Tries are kept for 30 days."
      />
      <div className="row">
        <Button onPress={() => void client.invalidateQueries({ queryKey: keys.deliveries })}>
          Look again
        </Button>
      </div>
      <Answer query={log} what="your messages">
        {({ pages }) => {
          const all = pages.flatMap(({ deliveries }) => deliveries);
          return all.length === 0 ? (
            <p className="soft">Nothing was sent to you yet.</p>
          ) : (
            <ul className="lines">
              {all.map((one) => (
                <MessageLine key={one.id} message={one} />
              ))}
            </ul>
          );
        }}
      </Answer>
      {log.hasNextPage && (
        <div className="row">
          <Button busy={log.isFetchingNextPage} onPress={() => void log.fetchNextPage()}>
            Show earlier ones
          </Button>
        </div>
      )}
    </>
  );
}

function MessageLine({ message }: { message: Logged }) {
  const client = useQueryClient();
  const sending = useMutation({
    mutationFn: () => api.sendAgain(message.id),
    onSettled: () => client.invalidateQueries({ queryKey: keys.deliveries }),
  });
  return (
    <li className="stack message-line">
      <div className="row apart">
        <div>
          {message.sentence}
          <div className="small soft">
            <span className={message.state === 'failed' ? 'delivery-failed' : undefined}>
              {deliveryStateWords[message.state]}
            </span>{' '}
            {wayWords[message.channel]}, asked for <Instant at={message.createdAt} />
            {message.state === 'waiting' && message.attempts > 0 && message.nextAttemptAt !== null && (
              <>
                ; tried again <Instant at={message.nextAttemptAt} relativeOnly />
              </>
            )}
            {message.state === 'dropped' && message.reason !== null && <>: {message.reason}</>}
          </div>
        </div>
        <Button busy={sending.isPending || message.state === 'sending'} onPress={() => sending.mutate()}>
          {message.state === 'waiting' ? 'Send now' : 'Send again'}
          <span className="hidden">: {message.sentence}</span>
        </Button>
      </div>
      <Refusal error={sending.error} />
      {message.tries.length > 0 && <Tries tries={message.tries} />}
    </li>
  );
}

function Tries({ tries }: { tries: readonly DeliveryTryView[] }) {
  return (
    <details>
      <summary className="small">{count(tries.length, 'try', 'tries')}</summary>
      <ul className="small tries">
        {tries.map((one) => (
          <li key={one.number}>
            <Instant at={one.at} />: {outcomeOf(one)} <span className="soft num">{took(one.durationMs)}</span>
          </li>
        ))}
      </ul>
    </details>
  );
}

const outcomeOf = ({ reason, status }: DeliveryTryView): string =>
  reason ?? (status === null ? 'taken by the mail server' : `taken (${status})`);

/** At most three digits. */
const took = (ms: number): string => (ms < 1000 ? `${ms} ms` : `${Number((ms / 1000).toPrecision(3))} s`);
