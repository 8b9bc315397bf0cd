/** Which curve is laid over the others, and whether their levels are brought together. */
import { comparedCurves } from '../contracts.js';
import { ChoiceField, SelectField } from '../kit/index.js';
import { comparedCurveWords, isIndex } from './archiveWords.js';
import type { CompareAsk } from './compareAddress.js';

export function CompareLooks(props: { ask: CompareAsk; onChange: (look: Partial<CompareAsk>) => void }) {
  const { ask, onChange } = props;
  return (
    <div className="archive-look">
      <SelectField
        label="Curve"
        value={ask.curve}
        options={comparedCurves.map((curve) => ({ value: curve, words: comparedCurveWords[curve] }))}
        onChange={(curve) => onChange({ curve })}
      />
      {!isIndex(ask.curve) && (
        <ChoiceField
          label="Levels"
          value={ask.alignment}
          options={[
            { value: 'sensitivity', words: 'Aligned by sensitivity' },
            { value: 'as-measured', words: 'As measured' },
          ]}
          onChange={(alignment) => onChange({ alignment })}
        />
      )}
    </div>
  );
}
