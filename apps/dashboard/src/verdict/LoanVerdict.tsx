/** What the team thinks: pros, cons with their evidence, the text, and the sign-offs. */
import { useState } from 'react';
import { Button, Icon, Notice } from '../kit/index.js';
import { useLoan } from '../loans/useLoan.js';
import { SignOffs } from './SignOffs.js';
import { VerdictEditor } from './VerdictEditor.js';
import '../styles/verdict.css';

export function LoanVerdict() {
  const loan = useLoan();
  const { verdict } = loan;
  const [editing, setEditing] = useState(false);
  if (verdict.sealedForYou) {
    return (
      <Notice icon="lock" title="Sealed until you seal your session.">
        <p>You are listening to a unit of this loan blind; the verdict may speak of its results.</p>
      </Notice>
    );
  }
  if (editing) return <VerdictEditor loan={loan} onLeave={() => setEditing(false)} />;
  return (
    <div className="verdict">
      <div className="stack">
        <div className="row apart">
          <h2>Verdict</h2>
          <Button icon="pencil" onPress={() => setEditing(true)}>
            {verdict.version === 0 ? 'Begin the verdict' : 'Change'}
          </Button>
        </div>
        {verdict.version === 0 && <p className="soft">Nothing written yet.</p>}
        {verdict.pros.length > 0 && (
          <section className="stack">
            <h3>For it</h3>
            <ul className="lines">
              {verdict.pros.map((pro) => (
                <li key={pro} className="point">
                  <Icon name="plus" size={16} /> {pro}
                </li>
              ))}
            </ul>
          </section>
        )}
        {verdict.cons.length > 0 && (
          <section className="stack">
            <h3>Against it</h3>
            <ul className="lines">
              {verdict.cons.map((con) => (
                <li key={con.text} className="point">
                  <Icon name="minus" size={16} />
                  <div>
                    {con.text}
                    <div className={con.evidence === '' ? 'small no-evidence' : 'small soft'}>
                      {con.evidence === ''
                        ? 'Without evidence yet: name it, or say that there is none.'
                        : con.evidence}
                    </div>
                  </div>
                </li>
              ))}
            </ul>
          </section>
        )}
        {verdict.text !== '' && <p className="verdict-text">{verdict.text}</p>}
      </div>
      <SignOffs loan={loan} />
    </div>
  );
}
