/** A number with its unit: three digits on the page, the full value on hover. */
import { formatFrequency, formatQuantity, fullValue } from '../words/numbers.js';

export function Quantity(props: {
  value: number | null | undefined;
  unit: string;
  signed?: boolean;
  none?: string;
}) {
  if (props.value === null || props.value === undefined)
    return <span className="soft">{props.none ?? 'not known'}</span>;
  const words =
    props.unit === 'Hz'
      ? formatFrequency(props.value)
      : formatQuantity(props.value, props.unit, props.signed);
  return (
    <data className="num" value={props.value} title={fullValue(props.value, props.unit)}>
      {words}
    </data>
  );
}
