/** The life of a loan in one line, with where it stands. */
import { stages, stageWords, type Stage } from '../contracts.js';

export function StageTrack({ stage }: { stage: Stage }) {
  const now = stages.indexOf(stage);
  return (
    <ol className="stages" aria-label={`Stage: ${stageWords[stage]}, ${now + 1} of ${stages.length}`}>
      {stages.map((each, index) => (
        <li
          key={each}
          className="stage"
          data-when={index < now ? 'past' : index === now ? 'now' : 'ahead'}
          aria-current={index === now ? 'step' : undefined}
        >
          {stageWords[each]}
        </li>
      ))}
    </ol>
  );
}
