/** The head of a page: where one is, its name, what can be done; and the document's title. */
import { useEffect } from 'react';
import { Link, NavLink } from 'react-router';
import { Icon } from './Icon.js';

export function useTitle(title: string): void {
  useEffect(() => {
    document.title = title === '' ? 'Sojourn' : `${title} · Sojourn`;
  }, [title]);
}

export function PageHead(props: {
  title: string;
  above?: { readonly to: string; readonly words: string };
  beneath?: React.ReactNode;
  acts?: React.ReactNode;
}) {
  useTitle(props.title);
  return (
    <header className="page-head">
      <div className="page-head-words">
        {props.above && (
          <Link className="page-above" to={props.above.to}>
            <Icon name="back" size={16} /> {props.above.words}
          </Link>
        )}
        <h1>{props.title}</h1>
        {props.beneath && <div className="page-beneath">{props.beneath}</div>}
      </div>
      {props.acts && <div className="row">{props.acts}</div>}
    </header>
  );
}

/** Parts of one page, each with its own address. */
export function Parts(props: {
  label: string;
  parts: readonly { readonly to: string; readonly words: string; readonly mark?: string | undefined }[];
}) {
  return (
    <nav className="parts" aria-label={props.label}>
      {props.parts.map((part) => (
        <NavLink key={part.to} to={part.to} end className="part">
          {part.words}
          {part.mark && <span className="part-mark small">{part.mark}</span>}
        </NavLink>
      ))}
    </nav>
  );
}

export function InventedMark() {
  return (
    <span className="tag" title="Made up for the demo: makers, people and data are invented">
      invented
    </span>
  );
}
