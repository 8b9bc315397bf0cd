/** One's own access tokens: how programs, such as the computer at the rig, come in. */
import { useMutation, useQuery, useQueryClient } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import { keys } from '../api/keys.js';
import { queries } from '../api/queries.js';
import { scopeWords, type TokenView } from '../contracts.js';
import { Answer, Button, Dialog, Instant, Refusal } from '../kit/index.js';
import { NewAccessToken } from './NewAccessToken.js';
import '../styles/people.css';

export function AccessTokens() {
  const tokens = useQuery(queries.tokens());
  return (
    <section className="section stack" aria-labelledby="tokens">
      <h2 id="tokens">Access for programs</h2>
      <p className="soft narrow">
        The computer at the rig, or a script, works in your name with a token instead of your password. It
        never does more than you may, and is blind where you listen blind. What it reads of a unit’s results
        counts as read by you.
      </p>
      <NewAccessToken />
      <Answer query={tokens} what="your tokens">
        {(found) => <TokenList tokens={found} />}
      </Answer>
    </section>
  );
}

function TokenList({ tokens }: { tokens: readonly TokenView[] }) {
  const active = tokens.filter(({ state }) => state === 'active');
  const over = tokens.filter(({ state }) => state !== 'active');
  return (
    <>
      {active.length === 0 && <p className="soft">None works now.</p>}
      {active.length > 0 && (
        <ul className="lines">
          {active.map((token) => (
            <TokenLine key={token.id} token={token} />
          ))}
        </ul>
      )}
      {over.length > 0 && (
        <details>
          <summary>Those that no longer work</summary>
          <ul className="lines">
            {over.map((token) => (
              <TokenLine key={token.id} token={token} />
            ))}
          </ul>
        </details>
      )}
    </>
  );
}

function TokenLine({ token }: { token: TokenView }) {
  const client = useQueryClient();
  const [asking, setAsking] = useState(false);
  const revoking = useMutation({
    mutationFn: () => api.revokeToken(token.id),
    onSuccess: () => setAsking(false),
    onSettled: () => client.invalidateQueries({ queryKey: keys.tokens }),
  });
  const opens = token.scopes.map((scope) => scopeWords[scope].name.toLowerCase()).join(', ');
  return (
    <li className="row apart">
      <div>
        <strong className="token-name">{token.name}</strong> <span className="soft">may {opens}</span>
        <div className="small soft">
          {token.state === 'revoked' && 'Revoked; '}
          {token.state === 'expired' && 'Ran out; '}
          {token.lastUsedAt === null ? (
            'never used'
          ) : (
            <>
              last used <Instant at={token.lastUsedAt} relativeOnly />
            </>
          )}
          {token.state === 'active' && (
            <>
              ; runs out <Instant at={token.expiresAt} />
            </>
          )}
        </div>
      </div>
      {token.state === 'active' && (
        <Button onPress={() => setAsking(true)}>
          Revoke<span className="hidden"> {token.name}</span>
        </Button>
      )}
      <Dialog title="Revoke this token?" open={asking} onClose={() => setAsking(false)}>
        <p>
          Whatever uses “{token.name}” is cut off at once, also in the middle of sending a file. What arrived
          whole stays. This can’t be undone; a new token can be made.
        </p>
        <Refusal error={revoking.error} />
        <div className="form-foot">
          <Button look="grave" busy={revoking.isPending} onPress={() => revoking.mutate()}>
            Revoke it
          </Button>
          <Button onPress={() => setAsking(false)}>Leave it</Button>
        </div>
      </Dialog>
    </li>
  );
}
