/** A number with its unit: three digits on the page, the full value on hover. */
import { formatFrequency, formatQuantity, fullValue } from '../words/numbers.js';

export interface QuantityProps {
  readonly value: number | null | undefined;
  readonly unit: string;
  readonly signed?: boolean;
  /** Before the number, such as `±`. */
  readonly prefix?: string;
  readonly none?: string;
}

export function Quantity({ value, unit, signed, prefix = '', none = 'not known' }: QuantityProps) {
  if (value === null || value === undefined) return <span className="soft">{none}</span>;
  const words = unit === 'Hz' ? formatFrequency(value) : formatQuantity(value, unit, signed);
  const [number, ...rest] = words.split(' ');
  return (
    <data className="quantity" value={value} title={fullValue(value, unit)}>
      <span className="num">
        {prefix}
        {number}
      </span>
      {rest.length > 0 && <span className="quantity-unit"> {rest.join(' ')}</span>}
    </data>
  );
}
