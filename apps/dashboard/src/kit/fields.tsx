/** Fields of forms: a label above, a hint beneath, and what is wrong in the field's own words. */
import { useId, type InputHTMLAttributes, type ReactNode } from 'react';
import { Icon } from './Icon.js';

interface Common {
  readonly label: ReactNode;
  readonly hint?: ReactNode;
  readonly error?: string | undefined;
  readonly required?: boolean;
  readonly wide?: boolean;
}

export function Field(
  props: Common & { children: (ids: { id: string; describedBy: string | undefined }) => ReactNode },
) {
  const id = useId();
  const told = props.error ? `${id}-error` : props.hint ? `${id}-hint` : undefined;
  return (
    <div className={`field${props.wide ? ' field-wide' : ''}`} data-wrong={props.error ? '' : undefined}>
      <label htmlFor={id}>
        {props.label}
        {props.required && <span className="soft"> (needed)</span>}
      </label>
      {props.children({ id, describedBy: told })}
      {props.hint && !props.error && (
        <div className="field-hint" id={`${id}-hint`}>
          {props.hint}
        </div>
      )}
      {props.error && (
        <div className="field-error" id={`${id}-error`}>
          <Icon name="warning" size={16} /> {props.error}
        </div>
      )}
    </div>
  );
}

interface TextProps extends Common {
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly type?: 'text' | 'email' | 'password' | 'date' | 'time' | 'datetime-local' | 'url' | 'tel';
  readonly inputMode?: InputHTMLAttributes<HTMLInputElement>['inputMode'];
  readonly autoComplete?: string;
  /** Only where a page or dialog has one obvious first field. */
  readonly focusFirst?: boolean;
  readonly unit?: string;
  readonly placeholder?: string;
  readonly list?: readonly string[];
  readonly disabled?: boolean;
  /** Of dates and times, in seconds. */
  readonly step?: number;
}

export function TextField(props: TextProps) {
  return (
    <Field {...props}>
      {({ id, describedBy }) => (
        <div className="field-line">
          <input
            id={id}
            className={props.inputMode ? 'num' : undefined}
            type={props.type ?? 'text'}
            inputMode={props.inputMode}
            autoComplete={props.autoComplete ?? 'off'}
            // oxlint-disable-next-line jsx-a11y/no-autofocus
            autoFocus={props.focusFirst}
            value={props.value}
            required={props.required}
            disabled={props.disabled}
            step={props.step}
            placeholder={props.placeholder}
            list={props.list ? `${id}-list` : undefined}
            aria-invalid={props.error ? true : undefined}
            aria-describedby={describedBy}
            onChange={(event) => props.onChange(event.target.value)}
          />
          {props.unit && <span className="field-unit">{props.unit}</span>}
          {props.list && (
            <datalist id={`${id}-list`}>
              {props.list.map((option) => (
                <option key={option} value={option}>
                  {option}
                </option>
              ))}
            </datalist>
          )}
        </div>
      )}
    </Field>
  );
}

export function TextArea(
  props: Common & { value: string; onChange: (value: string) => void; rows?: number },
) {
  return (
    <Field {...props}>
      {({ id, describedBy }) => (
        <textarea
          id={id}
          rows={props.rows ?? 3}
          value={props.value}
          required={props.required}
          aria-invalid={props.error ? true : undefined}
          aria-describedby={describedBy}
          onChange={(event) => props.onChange(event.target.value)}
        />
      )}
    </Field>
  );
}

export function SelectField<T extends string>(
  props: Common & {
    value: T;
    options: readonly { readonly value: T; readonly words: string }[];
    onChange: (value: T) => void;
  },
) {
  return (
    <Field {...props}>
      {({ id, describedBy }) => (
        <select
          id={id}
          value={props.value}
          aria-describedby={describedBy}
          onChange={(event) => props.onChange(event.target.value as T)}
        >
          {props.options.map((option) => (
            <option key={option.value} value={option.value}>
              {option.words}
            </option>
          ))}
        </select>
      )}
    </Field>
  );
}

export function CheckField(props: {
  label: ReactNode;
  hint?: ReactNode;
  checked: boolean;
  onChange: (checked: boolean) => void;
  disabled?: boolean;
}) {
  const id = useId();
  return (
    <div className="check-field">
      <input
        id={id}
        type="checkbox"
        checked={props.checked}
        disabled={props.disabled}
        aria-describedby={props.hint ? `${id}-hint` : undefined}
        onChange={(event) => props.onChange(event.target.checked)}
      />
      <div>
        <label htmlFor={id}>{props.label}</label>
        {props.hint && (
          <div className="field-hint" id={`${id}-hint`}>
            {props.hint}
          </div>
        )}
      </div>
    </div>
  );
}

/** A few choices side by side, one of which holds. */
export function ChoiceField<T extends string>(props: {
  label: ReactNode;
  value: T;
  options: readonly { readonly value: T; readonly words: string }[];
  onChange: (value: T) => void;
}) {
  const name = useId();
  return (
    <fieldset className="choice">
      <legend>{props.label}</legend>
      <div className="choice-options">
        {props.options.map((option) => (
          <label
            key={option.value}
            className="choice-option"
            data-chosen={option.value === props.value || undefined}
          >
            <input
              type="radio"
              name={name}
              value={option.value}
              checked={option.value === props.value}
              onChange={() => props.onChange(option.value)}
            />
            <span>{option.words}</span>
          </label>
        ))}
      </div>
    </fieldset>
  );
}
