/** The plan of one loan, counted backwards from the day it must be back. Its times are on the house's clock. */
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { Link } from 'react-router';
import { queries } from '../api/queries.js';
import { useHere } from '../app/session.js';
import type { LoanPlanView, LoanView, PlanStepView, StepView } from '../contracts.js';
import { Day, Icon, IconButton, useNow } from '../kit/index.js';
import { clockWords, dayInZone, shortDay, spareByClock, spareWords } from '../words/dates.js';
import { minutesWords } from '../words/numbers.js';
import { PlanBand, StepTrack, usePlanScale, type PlanScale } from '../timeline/PlanBand.js';
import { useWidth } from '../timeline/useWidth.js';
import { HouseClockNote } from '../plan/HouseClockNote.js';
import { StepMark } from './StepMark.js';

export function PlanPart({ loan }: { loan: LoanView }) {
  const { plan } = loan;
  const [ref, width] = useWidth();
  const scale = usePlanScale(loan, width);
  const records = useQuery(queries.loanSteps(loan.id)).data ?? [];
  const [marking, setMarking] = useState<string | null>(null);
  const marked = records.find(({ stepId }) => stepId === marking);
  return (
    <section className="stack" aria-labelledby="plan">
      <h2 id="plan">Plan back from the return</h2>
      <p className="plan-sentence" data-urgency={plan.urgency}>
        {(plan.urgency === 'late' || plan.urgency === 'at-risk') && (
          <Icon name={plan.urgency === 'late' ? 'blocked' : 'warning'} />
        )}{' '}
        {plan.sentence}
      </p>
      <PlanDates loan={loan} plan={plan} />
      <div ref={ref}>{scale && <PlanBand loan={loan} scale={scale} />}</div>
      {plan.steps.length > 0 && (
        <ol className="plan-steps">
          {plan.steps.map((step) => (
            <PlanStep
              key={step.stepId}
              step={step}
              loan={loan}
              scale={scale}
              record={records.find(({ stepId }) => stepId === step.stepId)}
              onMark={() => setMarking(step.stepId)}
            />
          ))}
        </ol>
      )}
      {plan.steps.length > 0 && <HouseClockNote />}
      {marked && (
        <StepMark key={marked.stepId} loanId={loan.id} step={marked} onClose={() => setMarking(null)} />
      )}
    </section>
  );
}

function PlanDates({ loan, plan }: { loan: LoanView; plan: LoanPlanView }) {
  return (
    <dl className="facts">
      <div>
        <dt>Back by</dt>
        <dd>
          <Day day={loan.returnBy} none="no date agreed" />
        </dd>
      </div>
      {plan.mustArriveBy && !loan.arrivedOn && (
        <div>
          <dt>Must arrive by</dt>
          <dd>
            <Day day={plan.mustArriveBy} />
          </dd>
        </div>
      )}
      {plan.slackHours !== null && (
        <div>
          <dt>Room to move</dt>
          <dd title={spareByClock(plan)}>{spareWords(plan)}</dd>
        </div>
      )}
      {plan.askExtensionTo && (
        <div>
          <dt>Ask the maker for an extension to</dt>
          <dd>
            <Day day={plan.askExtensionTo} />
          </dd>
        </div>
      )}
    </dl>
  );
}

function PlanStep(props: {
  step: PlanStepView;
  loan: LoanView;
  scale: PlanScale | null;
  record: StepView | undefined;
  onMark: () => void;
}) {
  const { step, loan, scale, record } = props;
  const unit = loan.units.length > 1 ? loan.units.find((each) => each.id === step.unitId) : undefined;
  const tight = !step.done && step.slackWorkingDays !== null && step.slackWorkingDays < 1;
  return (
    <li className="plan-step" data-done={step.done || undefined}>
      <span>{step.done && <Icon name="check" size={16} />}</span>
      <div>
        <div className="plan-step-title">
          <strong>{step.title}</strong>
          {unit && <span className="soft">{unit.name}</span>}
          <StepState step={step} record={record} />
        </div>
        {!step.done && (
          <>
            <StepTimes step={step} />
            {step.binding !== '' && <p className="small soft">{step.binding}</p>}
          </>
        )}
        {record && record.note !== '' && <p className="small soft">“{record.note}”</p>}
      </div>
      <div className="plan-step-end">
        {!step.done && step.slackHours !== null && (
          <span className={`small${tight ? ' plan-step-tight' : ''}`} title={spareByClock(step)}>
            {spareWords(step)}
          </span>
        )}
        {record && (
          <IconButton
            icon="pencil"
            label={`Say how “${step.title}”${unit ? ` of ${unit.name}` : ''} went`}
            onPress={props.onMark}
          />
        )}
      </div>
      {!step.done && scale && <StepTrack step={step} scale={scale} />}
    </li>
  );
}

function StepState({ step, record }: { step: PlanStepView; record: StepView | undefined }) {
  if (record?.state === 'skipped') return <span className="small soft">passed over</span>;
  if (step.done) {
    const took = record?.minutes ? `, took ${minutesWords(record.minutes)}` : '';
    return <span className="small soft">done{took}</span>;
  }
  return step.state === 'running' ? <span className="tag">under way</span> : null;
}

function StepTimes({ step }: { step: PlanStepView }) {
  const { session } = useHere();
  const today = dayInZone(useNow(), session.timeZone);
  if (!step.start && !step.latestStart) return null;
  const day = (at: string) =>
    at.length <= 10 ? shortDay(at, today) : clockWords(at, today, session.timeZone);
  return (
    <p className="small">
      {step.start && (
        <>
          {step.done || step.start.length <= 10 ? (
            day(step.start)
          ) : (
            <Link to={`/plan?day=${dayInZone(new Date(step.start), session.timeZone)}`}>
              {day(step.start)}
            </Link>
          )}
          {step.finish && <> to {day(step.finish)}</>}
        </>
      )}
      {step.latestStart && (
        <span className="soft">
          {step.start ? '; ' : ''}start by {day(step.latestStart)}
        </span>
      )}
    </p>
  );
}
