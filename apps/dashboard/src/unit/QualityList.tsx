/** What is wrong with the data, the gravest first, each with its evidence. */
import { useState } from 'react';
import type { AnalysisView, QualityView, Severity } from '../contracts.js';
import { Figure, type FigureLinks } from '../figures/Figure.js';
import { Icon, type IconName } from '../kit/index.js';

const order: readonly Severity[] = ['blocking', 'check', 'note'];
const words: Readonly<Record<Severity, { title: string; icon: IconName }>> = {
  blocking: { title: 'Blocking: measure again before it goes back', icon: 'blocked' },
  check: { title: 'To check', icon: 'warning' },
  note: { title: 'Notes', icon: 'pencil' },
};

export function QualityList({ analysis }: { analysis: AnalysisView }) {
  const findings = analysis.quality.map((finding, index) => ({
    finding,
    // The evidence is named after the finding's place in the result.
    evidence: analysis.figures.find((figure) => figure.name.startsWith(`evidence-${index + 1}-`)),
  }));
  return order.map((severity) => {
    const here = findings.filter(({ finding }) => finding.severity === severity);
    if (here.length === 0) return null;
    return (
      <section key={severity} className="quality" data-severity={severity}>
        <h4>
          <Icon name={words[severity].icon} size={17} /> {words[severity].title}
        </h4>
        <ul>
          {here.map(({ finding, evidence }) => (
            <Finding
              key={`${finding.code} ${finding.file ?? ''} ${finding.message}`}
              finding={finding}
              evidence={evidence}
            />
          ))}
        </ul>
      </section>
    );
  });
}

function Finding({ finding, evidence }: { finding: QualityView; evidence: FigureLinks | undefined }) {
  const [open, setOpen] = useState(false);
  return (
    <li>
      <p>
        {finding.file && <span className="num quality-file">{finding.file}</span>} {finding.message}
      </p>
      {evidence && (
        <button type="button" className="as-link small" aria-expanded={open} onClick={() => setOpen(!open)}>
          {open ? 'Hide the evidence' : 'Show the evidence'}
        </button>
      )}
      {evidence && open && <Figure links={evidence} level={4} />}
    </li>
  );
}
