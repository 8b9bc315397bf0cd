/** Analyses at work this minute. */
import { Link } from 'react-router';
import { computationWords, type AnalysisSummary } from '../contracts.js';
import { Progress } from '../kit/index.js';

export function Running({ running }: { running: readonly AnalysisSummary[] }) {
  if (running.length === 0) return null;
  return (
    <section className="running" aria-label="Being computed">
      {running.map((one) => (
        <Link key={one.id} className="running-one" to={`/units/${one.unitId}`}>
          <span>
            <strong>{one.unitName}</strong> <span className="soft">{one.setName}</span>
          </span>
          <span className="small soft">{computationWords[one.state]}</span>
          <Progress value={one.progress} label={`${one.unitName}: ${computationWords[one.state]}`} />
        </Link>
      ))}
    </section>
  );
}
