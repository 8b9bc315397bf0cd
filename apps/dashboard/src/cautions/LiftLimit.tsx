/** How much one person should lift, as the cabinet really stands. */
import { useState } from 'react';
import { useSearchParams } from 'react-router';
import { Notice, Quantity, SelectField, TextField } from '../kit/index.js';
import { planLift, type LiftDraft, type LiftField, type LiftPlan } from './liftPlan.js';

const fields: readonly { field: LiftField; label: string; unit: string; hint?: string }[] = [
  {
    field: 'massKg',
    label: 'Mass of the unit',
    unit: 'kg',
    hint: 'In its box when it is lifted in its box.',
  },
  {
    field: 'reachCm',
    label: 'Hands in front of the ankles',
    unit: 'cm',
    hint: 'Half the depth of the cabinet and more.',
  },
  { field: 'fromCm', label: 'Hands above the floor at the start', unit: 'cm' },
  { field: 'toCm', label: 'Hands above the floor at the end', unit: 'cm' },
  { field: 'twistDeg', label: 'Twist of the body', unit: '°' },
];
const grips = [
  { value: 'good', words: 'Good: handles' },
  { value: 'fair', words: 'Fair: a decent edge' },
  { value: 'poor', words: 'Poor: smooth, slippery or sagging' },
] as const;

export function LiftLimit() {
  const [address] = useSearchParams();
  const [draft, setDraft] = useState<LiftDraft>(() => ({
    massKg: address.get('mass') ?? '',
    reachCm: '40',
    fromCm: '15',
    toCm: '75',
    twistDeg: '0',
    grip: 'fair',
  }));
  const plan = planLift(draft);
  return (
    <section className="section stack" aria-labelledby="lift">
      <h2 id="lift">Lifting a unit</h2>
      <div className="form">
        {fields.map(({ field, ...spec }) => (
          <TextField
            key={field}
            {...spec}
            inputMode="decimal"
            value={draft[field]}
            error={'wrong' in plan ? plan.wrong[field] : undefined}
            onChange={(typed) => setDraft({ ...draft, [field]: typed })}
          />
        ))}
        <SelectField
          label="Grip"
          value={draft.grip}
          options={grips}
          onChange={(grip) => setDraft({ ...draft, grip })}
        />
      </div>
      <Limit plan={plan} />
      <p className="small soft">
        The revised NIOSH lifting equation (publication 94-110) for a healthy person who lifts now and then,
        on a firm floor with room to stand; the tighter of taking up and setting down counts. It is no
        promise: whoever is unsure fetches a second person. Mind fingers under edges, and cones and domes
        under hands.
      </p>
    </section>
  );
}

function Limit({ plan }: { plan: LiftPlan }) {
  if ('wrong' in plan) return <p className="soft">The limit appears once every measure is given.</p>;
  const { limitKg, index } = plan;
  return (
    <output className="stack">
      <dl className="facts">
        <div>
          <dt>Recommended limit for one person</dt>
          <dd className="cautions-figure">
            <Quantity value={limitKg} unit="kg" />
            <div className="small soft">{plan.tighterEnd} is the tighter end</div>
          </dd>
        </div>
        {index !== null && Number.isFinite(index) && (
          <div>
            <dt>Mass over limit (lifting index)</dt>
            <dd className="cautions-figure">
              <Quantity value={index} unit="" />
            </dd>
          </div>
        )}
      </dl>
      {limitKg === 0 && (
        <Notice tone="wrong" title="Nobody should lift like this.">
          <p>Too far from the body, too high or too much twist: step closer, turn the feet, use a lift.</p>
        </Notice>
      )}
      {limitKg > 0 && index !== null && index > 1 && (
        <Notice tone="caution" title="Too much for one person.">
          <p>Lift it with two people or a lift or trolley, closer to the body and from higher up.</p>
        </Notice>
      )}
    </output>
  );
}
