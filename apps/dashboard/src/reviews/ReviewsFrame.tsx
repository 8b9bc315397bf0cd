/** The frame of the pages anybody may read: no account, nothing of the house behind it. */
import { useQuery } from '@tanstack/react-query';
import { Link, NavLink, Outlet, ScrollRestoration } from 'react-router';
import { queries } from '../api/queries.js';
import { InventedMark } from '../kit/index.js';
import '../styles/reviews.css';

export function ReviewsFrame() {
  const session = useQuery(queries.session());
  const team = session.data?.teamName ?? 'Reviews';
  const invented = session.data?.invented === true && !/invented/i.test(team);
  return (
    <div className="public">
      <a className="skip" href="#main">
        To the page
      </a>
      <header className="public-bar">
        <Link className="public-name" to="/reviews">
          {team} {invented && <InventedMark />}
        </Link>
        <nav className="row" aria-label="Main">
          <NavLink to="/reviews" end className="bar-link">
            Reviews
          </NavLink>
          <NavLink to="/" className="bar-link">
            {session.data?.person ? 'To the house' : 'Sign in'}
          </NavLink>
        </nav>
      </header>
      <main className="main" id="main" tabIndex={-1}>
        <Outlet />
      </main>
      <ScrollRestoration />
    </div>
  );
}
