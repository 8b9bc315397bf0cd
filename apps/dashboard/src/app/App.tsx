/** Which door or room a visitor stands in. */
import { useQuery } from '@tanstack/react-query';
import { lazy, Suspense, useMemo } from 'react';
import { Outlet, useLocation } from 'react-router';
import { queries } from '../api/queries.js';
import { AcceptInvitation } from '../door/AcceptInvitation.js';
import { Door } from '../door/Door.js';
import { SignIn } from '../door/SignIn.js';
import { Button, Refusal } from '../kit/index.js';
import { LiveProvider } from '../live/LiveProvider.js';
import { HereContext } from './session.js';

const FirstRun = lazy(async () => ({ default: (await import('../door/FirstRun.js')).FirstRun }));

export function App() {
  const session = useQuery(queries.session());
  const { pathname } = useLocation();
  const state = session.data;
  const here = useMemo(() => (state?.person ? { person: state.person, session: state } : null), [state]);
  if (!state) {
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
  if (!here) return <SignIn session={state} />;
  return (
    <HereContext value={here}>
      <LiveProvider person={here.person} after={state.feedNumber ?? 0}>
        <Outlet />
      </LiveProvider>
    </HereContext>
  );
}
