/** A remark to read. */
import { formatFrequencyRange } from '../words/numbers.js';
import { severityWords, sideWords, signWords, type Remark } from './descriptors.js';

export function RemarkLine({ remark }: { remark: Remark }) {
  const { fromHz, toHz } = remark;
  const details = [
    signWords[remark.sign],
    severityWords[remark.severity - 1] ?? '',
    ...(fromHz !== undefined && toHz !== undefined ? [formatFrequencyRange(fromHz, toHz)] : []),
    ...(remark.side ? [sideWords[remark.side]] : []),
  ];
  const around = [remark.playing, remark.position].filter((part) => part !== undefined && part !== '');
  return (
    <>
      <strong>{remark.descriptor ?? 'Remark'}</strong> <span className="soft">{details.join(', ')}</span>
      {remark.text !== '' && <div>{remark.text}</div>}
      {around.length > 0 && <div className="small soft">{around.join('; ')}</div>}
    </>
  );
}
