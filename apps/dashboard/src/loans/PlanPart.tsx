/** The plan of one loan, counted backwards from the day it must be back. */
import type { LoanPlanView, LoanView, PlanStepView } from '../contracts.js';
import { Day, Icon, useNow } from '../kit/index.js';
import { clockWords, dayInZone, shortDay, spareWords } from '../words/dates.js';
import { PlanBand, StepTrack, usePlanScale, type PlanScale } from '../timeline/PlanBand.js';
import { useWidth } from '../timeline/useWidth.js';

export function PlanPart({ loan }: { loan: LoanView }) {
  const { plan } = loan;
  const [ref, width] = useWidth();
  const scale = usePlanScale(loan, width);
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
            <PlanStep key={`${step.code} ${step.unitId ?? ''}`} step={step} loan={loan} scale={scale} />
          ))}
        </ol>
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
          <dd title={`${plan.slackHours} h`}>{spareWords(plan.slackHours)}</dd>
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

function PlanStep({ step, loan, scale }: { step: PlanStepView; loan: LoanView; scale: PlanScale | null }) {
  const unit = loan.units.length > 1 ? loan.units.find((each) => each.id === step.unitId) : undefined;
  const tight = !step.done && step.slackHours !== null && step.slackHours < 24;
  return (
    <li className="plan-step" data-done={step.done || undefined}>
      <span>{step.done && <Icon name="check" size={16} />}</span>
      <div>
        <div className="plan-step-title">
          <strong>{step.title}</strong>
          {unit && <span className="soft">{unit.name}</span>}
          {step.done && <span className="small soft">done</span>}
        </div>
        {!step.done && (
          <>
            <StepTimes step={step} />
            {step.binding !== '' && <p className="small soft">{step.binding}</p>}
          </>
        )}
      </div>
      {!step.done && step.slackHours !== null && (
        <span className={`small${tight ? ' plan-step-tight' : ''}`} title={`${step.slackHours} h of slack`}>
          {spareWords(step.slackHours)}
        </span>
      )}
      {!step.done && scale && <StepTrack step={step} scale={scale} />}
    </li>
  );
}

function StepTimes({ step }: { step: PlanStepView }) {
  const today = dayInZone(useNow());
  if (!step.start && !step.latestStart) return null;
  const day = (at: string) => (at.length <= 10 ? shortDay(at, today) : clockWords(at, today));
  return (
    <p className="small">
      {step.start && (
        <>
          {day(step.start)}
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
