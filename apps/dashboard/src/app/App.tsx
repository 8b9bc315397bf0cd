/** Which door or room a visitor stands in. */
import { useQuery } from '@tanstack/react-query';
import { lazy, Suspense, useEffect, useMemo } from 'react';
import { Outlet, useLocation } from 'react-router';
import { queries } from '../api/queries.js';
import { AcceptInvitation } from '../door/AcceptInvitation.js';
import { Door } from '../door/Door.js';
import { SignIn } from '../door/SignIn.js';
import { Button, Refusal } from '../kit/index.js';
import { useKeptHere } from '../listening/useKeptHere.js';
import { LiveProvider } from '../live/LiveProvider.js';
import { HereContext } from './session.js';

const WithoutNetwork = lazy(async () => ({
  default: (await import('../listening/WithoutNetwork.js')).WithoutNetwork,
}));
const FirstRun = lazy(async () => ({ default: (await import('../door/FirstRun.js')).FirstRun }));

const PreviewPage = lazy(async () => ({ default: (await import('../preview/PreviewPage.js')).PreviewPage }));

export function App() {
  const session = useQuery(queries.session());
  const { pathname } = useLocation();
  const state = session.data;
  const kept = useKeptHere();
  useAskAgainOnline(session.isError, session.refetch);
  const here = useMemo(() => (state?.person ? { person: state.person, session: state } : null), [state]);
  if (!state) {
    if ((session.isError || session.isPaused) && kept && kept.length > 0) {
      return (
        <Suspense>
          <WithoutNetwork kept={kept} onTryAgain={() => void session.refetch()} />
        </Suspense>
      );
    }
    if (!session.isError) return <p className="hidden">Opening Sojourn…</p>;
    return (
      <Door title="Sojourn">
        <Refusal error={session.error} />
        <p>
          <Button onPress={() => void session.refetch()}>Try again</Button>
        </p>
      </Door>
    );
  }
  if (!state.installed) {
    return (
      <Suspense>
        <FirstRun session={state} />
      </Suspense>
    );
  }
  if (pathname === '/invite') return <AcceptInvitation />;
  if (pathname === '/preview')
    return (
      <Suspense>
        <PreviewPage />
      </Suspense>
    );
  if (!here) return <SignIn session={state} />;
  return (
    <HereContext value={here}>
      <LiveProvider person={here.person} after={state.feedNumber ?? 0}>
        <Outlet />
      </LiveProvider>
    </HereContext>
  );
}

/** A page opened without a network opens properly once there is one. */
function useAskAgainOnline(failed: boolean, ask: () => Promise<unknown>): void {
  useEffect(() => {
    if (!failed) return undefined;
    const again = () => void ask();
    window.addEventListener('online', again);
    return () => window.removeEventListener('online', again);
  }, [failed, ask]);
}
