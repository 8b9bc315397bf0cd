/** The fields of a record, as a form. */
import { CheckField, SelectField, TextArea, TextField } from '../kit/index.js';
import type { Draft, FieldSpec, FieldSpecs } from './fieldSpec.js';

export interface RecordFieldsProps<R> {
  readonly specs: FieldSpecs<R>;
  readonly draft: Draft;
  readonly wrong: Readonly<Record<string, string>>;
  readonly onChange: (key: string, value: string | boolean) => void;
}

export function RecordFields<R>(props: RecordFieldsProps<R>) {
  return props.specs.map((spec) => <RecordField key={spec.key} {...props} spec={spec} />);
}

const inputType = { link: 'url', day: 'date', instant: 'datetime-local' } as const;

function RecordField<R>({ spec, draft, wrong, onChange }: RecordFieldsProps<R> & { spec: FieldSpec<R> }) {
  const value = draft[spec.key] ?? '';
  const common = {
    label: spec.label,
    hint: spec.hint,
    error: wrong[spec.key],
    required: spec.required ?? false,
    wide: spec.wide ?? false,
  };
  const change = (next: string | boolean) => onChange(spec.key, next);
  if (spec.kind === 'check') {
    return (
      <div className="field-wide">
        <CheckField label={spec.label} hint={spec.hint} checked={value === true} onChange={change} />
      </div>
    );
  }
  const text = String(value);
  if (spec.kind === 'area') return <TextArea {...common} wide value={text} onChange={change} />;
  if (spec.kind === 'choice') {
    const options = [
      ...(spec.required ? [] : [{ value: '', words: 'Not decided' }]),
      ...(spec.options ?? []),
    ];
    return <SelectField {...common} value={text} options={options} onChange={change} />;
  }
  const numeric = spec.kind === 'number' || spec.kind === 'whole' || spec.kind === 'money';
  const unit = spec.kind === 'money' ? String(draft[spec.currencyKey ?? ''] ?? '') : spec.unit;
  return (
    <TextField
      {...common}
      type={spec.kind in inputType ? inputType[spec.kind as keyof typeof inputType] : 'text'}
      {...(numeric ? { inputMode: spec.kind === 'whole' ? ('numeric' as const) : ('decimal' as const) } : {})}
      {...(unit ? { unit } : {})}
      value={text}
      onChange={change}
    />
  );
}
