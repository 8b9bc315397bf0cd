/** The frame of every page before signing in. */
import { useTitle } from '../kit/index.js';
import '../styles/door.css';

export function Door(props: { title: string; lead?: React.ReactNode; children: React.ReactNode }) {
  useTitle(props.title);
  return (
    <main className="door">
      <DoorBands />
      <h1>{props.title}</h1>
      {props.lead && <p className="soft">{props.lead}</p>}
      {props.children}
    </main>
  );
}

/** Three loans on their way to the day they go back: the picture this house draws everywhere. */
function DoorBands() {
  return (
    <div className="door-bands" aria-hidden="true">
      <svg viewBox="0 0 544 120" preserveAspectRatio="none">
        <path d="M0 6v30l380-13v-4z" fill="var(--accent)" opacity="0.9" />
        <path d="M70 46v30l474-13v-4z" fill="var(--ink)" opacity="0.28" />
        <path d="M30 86v30l270-13v-4z" fill="var(--ink)" opacity="0.6" />
        <path d="M212 0v120" stroke="var(--ink)" strokeWidth="1.5" />
      </svg>
    </div>
  );
}
