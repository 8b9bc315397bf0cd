/** Condition reports of one end of the loan. */
import { useState } from 'react';
import type { LoanView, Moment } from '../contracts.js';
import { Button } from '../kit/index.js';
import { NewReport } from './NewReport.js';
import { ReportCard } from './ReportCard.js';

export function Reports({ loan, moment }: { loan: LoanView; moment: Moment }) {
  const [adding, setAdding] = useState(false);
  const reports = loan.reports.filter((report) => report.moment === moment);
  return (
    <section className="stack" aria-labelledby="condition">
      <div className="row apart">
        <h2 id="condition">Condition</h2>
        {!adding && (
          <Button icon="plus" onPress={() => setAdding(true)}>
            Write a report
          </Button>
        )}
      </div>
      {adding && <NewReport loan={loan} moment={moment} onDone={() => setAdding(false)} />}
      {reports.length === 0 && !adding && (
        <p className="soft">
          {moment === 'arrival'
            ? 'Nothing recorded yet. Photograph the crate before opening it, then each cabinet from all sides.'
            : 'Nothing recorded yet. Photograph each cabinet again before it goes into its packaging.'}
        </p>
      )}
      {reports.map((report) => (
        <ReportCard key={report.id} report={report} loan={loan} />
      ))}
    </section>
  );
}
