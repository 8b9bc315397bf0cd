/** The page was opened again while there is no network: sessions on this device can be written on. */
import { Button, useTitle } from '../kit/index.js';
import type { KeptSession } from './keptSessions.js';
import { SessionEditor } from './SessionEditor.js';
import { useKeptSession } from './useKeptSession.js';
import '../styles/listening.css';

export function WithoutNetwork(props: { kept: readonly KeptSession[]; onTryAgain: () => void }) {
  useTitle('No network');
  return (
    <main className="main stack" id="main">
      <h1>No network</h1>
      <p>
        The server can’t be reached. Your listening is on this device: write on, and it is sent as soon as the
        network is back.
      </p>
      <div>
        <Button onPress={props.onTryAgain}>Try again</Button>
      </div>
      {props.kept.map((session) => (
        <Session key={session.id} session={session} />
      ))}
    </main>
  );
}

function Session({ session }: { session: KeptSession }) {
  const written = useKeptSession(session.id);
  if (!written) return null;
  return (
    <>
      <p>
        {session.unitName}, {session.accountName}
      </p>
      <SessionEditor written={written} />
    </>
  );
}
