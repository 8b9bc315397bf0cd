/** Where one is signed in, and an end to each of them. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import type { OwnSession } from '../contracts.js';
import { Answer, Button, Instant, Refusal } from '../kit/index.js';
import { say } from '../live/toasts.js';

export function OwnSessions() {
  const sessions = useQuery(queries.sessions());
  return (
    <section className="section stack" aria-labelledby="own-sessions">
      <h2 id="own-sessions">Where you are signed in</h2>
      <Answer query={sessions} what="your sessions">
        {(found) => (
          <ul className="lines">
            {found.map((session) => (
              <SessionLine key={session.id} session={session} />
            ))}
          </ul>
        )}
      </Answer>
    </section>
  );
}

function SessionLine({ session }: { session: OwnSession }) {
  const client = useQueryClient();
  const ending = useMutation({
    mutationFn: () => api.endSession(session.id),
    onSuccess: () =>
      say({ tone: 'good', title: 'Signed out', text: `${deviceWords(session)} is signed out.` }),
    onSettled: () => client.invalidateQueries({ queryKey: keys.sessions }),
  });
  return (
    <li className="row apart">
      <span>
        <strong>{deviceWords(session)}</strong> {session.here && <span className="tag">this one</span>}
        <span className="small soft session-times">
          signed in <Instant at={session.begunAt} />, last used <Instant at={session.seenAt} />
        </span>
      </span>
      {!session.here && (
        <Button busy={ending.isPending} onPress={() => ending.mutate()}>
          Sign out<span className="hidden"> of {deviceWords(session)}</span>
        </Button>
      )}
      <Refusal error={ending.error} />
    </li>
  );
}

const deviceWords = ({ device }: OwnSession): string => device || 'A browser';
