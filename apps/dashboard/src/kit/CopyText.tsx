/** Something to take along: an address, a key. It can be selected, and copied at a press. */
import { useState } from 'react';
import { Button } from './Button.js';
import { Field } from './fields.js';

export function CopyText(props: { label: string; value: string; hint?: string }) {
  const [copied, setCopied] = useState(false);
  return (
    <Field wide label={props.label} hint={props.hint}>
      {({ id, describedBy }) => (
        <div className="field-line">
          <input
            id={id}
            className="num"
            readOnly
            value={props.value}
            aria-describedby={describedBy}
            onFocus={(event) => event.target.select()}
          />
          {'clipboard' in navigator && (
            <Button
              onPress={() =>
                void navigator.clipboard.writeText(props.value).then(
                  () => setCopied(true),
                  () => setCopied(false),
                )
              }
            >
              {copied ? 'Copied' : 'Copy'}
            </Button>
          )}
        </div>
      )}
    </Field>
  );
}
