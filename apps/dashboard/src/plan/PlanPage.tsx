/** The plan of the whole team: the week, what should change, how full it is, what if, and what it rests on. */
import { useQuery } from '@tanstack/react-query';
import { Outlet } from 'react-router';
import { queries } from '../api/queries.js';
import { PageHead, Parts } from '../kit/index.js';
import { HouseClockNote } from './HouseClockNote.js';
import '../styles/plan.css';

export function PlanPage() {
  const plan = useQuery(queries.plan()).data;
  const changes = plan?.changes.length ?? 0;
  return (
    <>
      <PageHead title="Plan" beneath={<HouseClockNote />} />
      <Parts
        label="Parts of the plan"
        parts={[
          { to: '/plan', words: 'Week' },
          {
            to: '/plan/proposal',
            words: 'What should change',
            mark: changes > 0 ? String(changes) : undefined,
          },
          { to: '/plan/workload', words: 'Workload' },
          { to: '/plan/what-if', words: 'What if' },
          { to: '/plan/hours', words: 'Hours and places' },
          { to: '/plan/work', words: 'Work by kind' },
        ]}
      />
      <Outlet />
    </>
  );
}
