/** What a step took so far: median, the middle half of the times, how many; the planned time marked on the same scale. */
import { Link } from 'react-router';
import type { EstimateView } from '../contracts.js';
import { count, minutesWords } from '../words/numbers.js';

const WIDTH = 120;

export function Learned({ estimate, planned }: { estimate: EstimateView | undefined; planned: number }) {
  if (!estimate) return <span className="small soft">not known yet</span>;
  const { medianMinutes: median, lowerQuartileMinutes: lower, upperQuartileMinutes: upper } = estimate;
  const most = Math.max(upper, planned, median) * 1.08;
  const x = (minutes: number) => (minutes / most) * WIDTH;
  return (
    <div>
      <svg className="learned" width={WIDTH} height={16} aria-hidden="true">
        <line x1={0} x2={WIDTH} y1={8} y2={8} className="learned-ground" />
        <rect
          x={x(lower)}
          y={3}
          width={Math.max(2, x(upper) - x(lower))}
          height={10}
          className="learned-half"
        />
        <line x1={x(median)} x2={x(median)} y1={1} y2={15} className="learned-median" />
        <path d={`M${x(planned)} 16l-4 -6h8z`} className="learned-planned" />
      </svg>
      <div className="small">
        median {minutesWords(median)}
        <span className="soft">
          {estimate.count > 1 && `, half of them ${minutesWords(lower)} to ${minutesWords(upper)}`},{' '}
          {count(estimate.count, 'time')}
        </span>
      </div>
      {estimate.recent.length > 0 && (
        <details className="small">
          <summary>The last {estimate.recent.length === 1 ? 'one' : estimate.recent.length}</summary>
          <ul>
            {estimate.recent.map((one) => (
              <li key={`${one.loanId} ${one.finishedAt ?? ''}`}>
                <Link to={`/loans/${one.loanId}`}>{one.loanTitle}</Link>: {minutesWords(one.minutes)}
              </li>
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}
