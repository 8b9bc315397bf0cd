/** What waits, grouped by what it waits for; the most pressing first. */
import { Link } from 'react-router';
import type { Need } from '../contracts.js';
import { Icon, useToday } from '../kit/index.js';
import { dayWords } from '../words/dates.js';
import { groups, groupWords, inOrder, placeOf } from './answer.js';

export function Needs({ needs }: { needs: readonly Need[] }) {
  const full = groups.filter((group) => needs.some((need) => need.group === group));
  const clear = groups.filter((group) => !full.includes(group));
  return (
    <section className="needs" aria-labelledby="needs">
      <h2 id="needs">What needs you next</h2>
      <div className="needs-groups">
        {full.map((group) => (
          <NeedGroup
            key={group}
            title={groupWords[group].title}
            needs={inOrder(needs.filter((need) => need.group === group))}
          />
        ))}
      </div>
      {clear.length > 0 && (
        <p className="small soft">{clear.map((group) => groupWords[group].none).join(' ')}</p>
      )}
    </section>
  );
}

function NeedGroup(props: { title: string; needs: readonly Need[] }) {
  return (
    <section className="needs-group">
      <h3>
        {props.title} <span className="num soft">{props.needs.length}</span>
      </h3>
      <ul className="lines">
        {props.needs.map((need) => (
          <NeedLine key={need.id} need={need} />
        ))}
      </ul>
    </section>
  );
}

function NeedLine({ need }: { need: Need }) {
  const today = useToday();
  const grave = need.urgency === 'late' || need.urgency === 'at-risk';
  return (
    <li className="need" data-urgency={need.urgency}>
      <Link className="need-link" to={placeOf(need)}>
        <span className="need-title">
          {grave && <Icon name={need.urgency === 'late' ? 'blocked' : 'warning'} size={17} />}
          <span>{need.title}</span>
        </span>
        <span>{need.sentence}</span>
        <span className="need-foot small soft">
          {need.by && <span className="need-by">{dayWords(need.by, today)}</span>}
          {need.waitsFor && <span>waits for {need.waitsFor}</span>}
        </span>
      </Link>
    </li>
  );
}
