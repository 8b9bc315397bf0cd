/** The frame around every page inside: where to go, whether it is live, who is here. */
import { useEffect, useRef } from 'react';
import { Link, NavLink, Outlet, ScrollRestoration, useLocation } from 'react-router';
import type { SessionState } from '../contracts.js';
import { Icon, InventedMark, type IconName } from '../kit/index.js';
import { KeptSender } from '../listening/KeptSender.js';
import { LiveMark } from '../live/LiveMark.js';
import { Toasts } from '../live/Toasts.js';
import { PersonMenu } from './PersonMenu.js';
import { isMember, useHere } from './session.js';

interface Place {
  readonly to: string;
  readonly words: string;
  readonly icon: IconName;
  /** On a phone it is in the person’s menu instead. */
  readonly rare?: boolean;
}
const memberPlaces: readonly Place[] = [
  { to: '/', words: 'Today', icon: 'today' },
  { to: '/plan', words: 'Plan', icon: 'clock' },
  { to: '/loans', words: 'Loans', icon: 'crate' },
  { to: '/archive', words: 'Archive', icon: 'table' },
  { to: '/makers', words: 'Makers', icon: 'pencil', rare: true },
  { to: '/people', words: 'People', icon: 'people', rare: true },
  { to: '/published', words: 'Published', icon: 'curve' },
];
const viewerPlaces: readonly Place[] = [{ to: '/published', words: 'Published', icon: 'curve' }];

export function Shell() {
  const { person, session } = useHere();
  const places = isMember(person) ? memberPlaces : viewerPlaces;
  const main = useFocusOnArrival();
  return (
    <div className="frame">
      <a className="skip" href="#main">
        To the page
      </a>
      <header className="bar">
        <Link className="bar-name" to="/">
          <Mark />
          {/* The mark stands apart, so that a narrow page that cuts the name does not cut it. */}
          <span>{teamNameOf(session)}</span>
          {session.invented && <InventedMark />}
        </Link>
        <nav className="bar-links" aria-label="Main">
          {places.map((place) => (
            <NavLink
              key={place.to}
              to={place.to}
              end={place.to === '/'}
              className={`bar-link${place.rare ? ' bar-link-rare' : ''}`}
            >
              <Icon name={place.icon} size={20} />
              {place.words}
            </NavLink>
          ))}
        </nav>
        <div className="bar-end">
          <LiveMark />
          <PersonMenu />
        </div>
      </header>
      <main className="main" id="main" tabIndex={-1} ref={main}>
        <Outlet />
      </main>
      <Toasts />
      <KeptSender />
      <ScrollRestoration />
    </div>
  );
}

const teamNameOf = ({ teamName = 'Sojourn', invented }: SessionState): string =>
  invented ? teamName.replace(/\s*\(invented\)$/i, '') : teamName;

/** A crate that narrows to its return, cut by the day. */
function Mark() {
  return (
    <svg width="26" height="26" viewBox="0 0 26 26" aria-hidden="true">
      <path d="M1 3v20l24-8.4v-3.2z" fill="currentColor" />
      <path d="M15 0v26" stroke="var(--accent)" strokeWidth="2.4" />
    </svg>
  );
}

/** After a move to another page the keyboard and the reader start at its top, not in the old place. */
function useFocusOnArrival() {
  const main = useRef<HTMLElement>(null);
  const { pathname } = useLocation();
  // A part of the same loan or unit is not another page.
  const page = pathname.split('/').slice(0, 3).join('/');
  const shown = useRef(page);
  useEffect(() => {
    if (shown.current === page) return;
    shown.current = page;
    main.current?.focus({ preventScroll: true });
  }, [page]);
  return main;
}
