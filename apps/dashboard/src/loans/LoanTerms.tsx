/** What was agreed with the maker, to read and to change. */
import { useState } from 'react';
import { useNavigate } from 'react-router';
import { api } from '../api/api.js';
import { DeleteThis } from '../bin/DeleteThis.js';
import { RecordEditor } from '../edit/RecordEditor.js';
import { RecordFacts } from '../edit/RecordFacts.js';
import { Button, Instant } from '../kit/index.js';
import { termGroups } from './termSpecs.js';
import { useKeepLoan, useLoan } from './useLoan.js';
import '../styles/edit.css';

export function LoanTerms() {
  const loan = useLoan();
  const keep = useKeepLoan();
  const go = useNavigate();
  const [editing, setEditing] = useState(false);
  if (editing) {
    return (
      <RecordEditor
        record={loan}
        groups={termGroups}
        what="These terms"
        send={(changes, version) => api.changeLoan(loan.id, { ...changes, version })}
        reload={() => api.loan(loan.id)}
        onSaved={(saved) => {
          keep(saved);
          setEditing(false);
        }}
        onLeave={() => setEditing(false)}
      />
    );
  }
  return (
    <div>
      <div className="row apart">
        <p className="soft small">
          {loan.termsAgreedAt ? (
            <>
              Agreed <Instant at={loan.termsAgreedAt} />
            </>
          ) : (
            'Not agreed yet.'
          )}
        </p>
        <Button icon="pencil" onPress={() => setEditing(true)}>
          Change the terms
        </Button>
      </div>
      {termGroups.map((group) => (
        <section key={group.title} className="section stack">
          <h2>{group.title}</h2>
          <RecordFacts
            record={loan}
            specs={group.specs.filter((spec) => spec.key !== 'title' && spec.key !== 'currency')}
          />
        </section>
      ))}
      <section className="section">
        <DeleteThis
          what="this loan"
          name={loan.title}
          goesWith="with its units, measurements, listening, drafts, bookings and papers."
          send={() => api.deleteLoan(loan.id, loan.version)}
          onDeleted={() => void go('/loans')}
        />
      </section>
    </div>
  );
}
