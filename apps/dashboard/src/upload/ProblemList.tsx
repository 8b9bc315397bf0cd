/** What is wrong with files: which, at which line, and what to do. */
import type { ProblemView } from '../contracts.js';

const SHOWN = 12;

export function ProblemList({ problems }: { problems: readonly ProblemView[] }) {
  if (problems.length === 0) return null;
  const rest = problems.slice(SHOWN);
  return (
    <div className="problems">
      <ul>
        {problems.slice(0, SHOWN).map((problem) => (
          <Problem key={keyOf(problem)} problem={problem} />
        ))}
      </ul>
      {rest.length > 0 && (
        <details>
          <summary>{rest.length} more</summary>
          <ul>
            {rest.map((problem) => (
              <Problem key={keyOf(problem)} problem={problem} />
            ))}
          </ul>
        </details>
      )}
    </div>
  );
}

function Problem({ problem }: { problem: ProblemView }) {
  return (
    <li>
      <span className="num problem-place">
        {problem.file}
        {problem.line !== undefined && <>, line {problem.line}</>}
      </span>
      <span>{problem.message}</span> <span className="soft">{problem.remedy}</span>
    </li>
  );
}

function keyOf(problem: ProblemView): string {
  return `${problem.file} ${problem.line ?? ''} ${problem.code} ${problem.message}`;
}
