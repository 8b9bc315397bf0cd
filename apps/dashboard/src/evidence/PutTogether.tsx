/** A pair by hand: the one side is given, the other chosen. */
import { useState } from 'react';
import type { EvidenceFindingView } from '../contracts.js';
import { Button, Refusal, SelectField } from '../kit/index.js';
import { useDecide } from './useDecide.js';

export function PutTogether(props: {
  unitId: string;
  label: string;
  choices: readonly { readonly value: string; readonly words: string }[];
  pairOf: (choice: string) => { remarkId: string; finding: EvidenceFindingView; version: number } | undefined;
}) {
  const [chosen, setChosen] = useState('');
  const deciding = useDecide(props.unitId);
  const pair = chosen === '' ? undefined : props.pairOf(chosen);
  if (props.choices.length === 0) return null;
  return (
    <div className="put-together">
      <SelectField
        label={props.label}
        value={chosen}
        options={[{ value: '', words: 'choose' }, ...props.choices]}
        onChange={setChosen}
      />
      <Button
        isDisabled={!pair}
        busy={deciding.isPending}
        onPress={() => {
          if (pair)
            deciding.mutate({ ...pair, decision: 'added', note: '' }, { onSuccess: () => setChosen('') });
        }}
      >
        Put together
      </Button>
      <Refusal error={deciding.error} />
    </div>
  );
}
