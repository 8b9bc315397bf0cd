/** One condition report: its words, its photographs, and its signature. */
import { useMutation } from '@tanstack/react-query';
import { useState } from 'react';
import { api } from '../api/api.js';
import type { LoanView, ReportView } from '../contracts.js';
import { DeleteThis } from '../bin/DeleteThis.js';
import { RecordEditor } from '../edit/RecordEditor.js';
import type { FieldSpecs } from '../edit/fieldSpec.js';
import { Button, Icon, Instant, Notice, Refusal } from '../kit/index.js';
import { useRefreshLoan } from '../loans/useLoan.js';
import { Photographs } from './Photographs.js';

const specs: FieldSpecs<ReportView> = [
  { key: 'condition', label: 'Condition', kind: 'area', required: true },
  { key: 'serialSeen', label: 'Serial number seen', kind: 'text' },
  { key: 'damage', label: 'Damage or things missing', kind: 'area', none: 'none' },
];

export function ReportCard({ report, loan }: { report: ReportView; loan: LoanView }) {
  const [editing, setEditing] = useState(false);
  const refresh = useRefreshLoan(loan.id);
  const unit = loan.unitDetails.find((each) => each.id === report.unitId);
  const title = unit ? unit.name : 'The crate as a whole';
  if (editing) {
    return (
      <RecordEditor
        record={report}
        groups={[{ title, specs }]}
        what="This report"
        send={(changes, version) => api.changeReport(report.id, { ...changes, version })}
        reload={() => reportNow(loan.id, report.id)}
        onSaved={() => {
          setEditing(false);
          void refresh();
        }}
        onLeave={() => setEditing(false)}
      />
    );
  }
  return (
    <article className="report stack">
      <div className="row apart">
        <h3>{title}</h3>
        {!report.signedAt && (
          <span className="row">
            <Button look="quiet" icon="pencil" onPress={() => setEditing(true)}>
              Change
            </Button>
            <DeleteThis
              what="this report"
              name={title}
              goesWith="its words and photographs."
              send={() => api.deleteReport(report.id, report.version)}
              onDeleted={() => void refresh()}
            />
          </span>
        )}
      </div>
      <p className="fact-text">{report.condition}</p>
      {report.serialSeen !== '' && (
        <p className="small soft">
          Serial number seen: <span className="num">{report.serialSeen}</span>
        </p>
      )}
      {report.serialDiffers && (
        <Notice tone="caution" title="Another serial number than the one noted of this unit.">
          <p>Settle with the maker which unit this is, then correct the number that is wrong.</p>
        </Notice>
      )}
      {report.damage !== '' && <Damage report={report} onChanged={refresh} />}
      <Photographs report={report} onChanged={refresh} />
      <Signature report={report} onChanged={refresh} />
    </article>
  );
}

function Damage({ report, onChanged }: { report: ReportView; onChanged: () => Promise<void> }) {
  const telling = useMutation({
    mutationFn: () => api.changeReport(report.id, { version: report.version, makerTold: true }),
    onSettled: onChanged,
  });
  return (
    <div className="report-damage">
      <Icon name="warning" />
      <div className="stack">
        <p className="fact-text">
          <strong>Damage:</strong> {report.damage}
        </p>
        {report.makerToldAt ? (
          <p className="small soft">
            The maker was told <Instant at={report.makerToldAt} />
          </p>
        ) : (
          <div>
            <Button busy={telling.isPending} onPress={() => telling.mutate()}>
              The maker has been told
            </Button>
          </div>
        )}
        <Refusal error={telling.error} />
      </div>
    </div>
  );
}

function Signature({ report, onChanged }: { report: ReportView; onChanged: () => Promise<void> }) {
  const signing = useMutation({
    mutationFn: () => api.signReport(report.id, { version: report.version }),
    onSettled: onChanged,
  });
  if (report.signedAt) {
    return (
      <p className="small soft">
        <Icon name="lock" size={16} /> Signed by {report.signedByName}, <Instant at={report.signedAt} />
      </p>
    );
  }
  return (
    <div className="stack">
      <div className="row">
        <Button look="main" busy={signing.isPending} onPress={() => signing.mutate()}>
          Sign this report
        </Button>
        <span className="small soft">Its words stand as they are from then on.</span>
      </div>
      <Refusal error={signing.error} />
    </div>
  );
}

async function reportNow(loanId: string, reportId: string): Promise<ReportView> {
  const report = (await api.loan(loanId)).reports.find((each) => each.id === reportId);
  if (!report) throw new Error('The report is not there any more.');
  return report;
}
