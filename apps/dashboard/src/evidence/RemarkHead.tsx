/** A remark as evidence: its words, who wrote it, whether blind, whether after the seal. */
import type { EvidenceRemarkView } from '../contracts.js';
import { Icon } from '../kit/index.js';
import { RemarkLine } from '../listening/RemarkLine.js';

export function RemarkHead({ remark }: { remark: EvidenceRemarkView }) {
  return (
    <div>
      <RemarkLine remark={remark.remark} />
      <div className="small soft">
        {remark.by}, <Icon name={remark.blind && !remark.after ? 'lock' : 'ear'} size={13} />{' '}
        {remark.after ? 'added after the seal' : remark.blind ? 'blind' : 'not blind'}
      </div>
    </div>
  );
}
