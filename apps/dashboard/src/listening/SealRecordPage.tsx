/** Seals for readers: who listened, when, whether blind, and the means to check it. */
import { useQuery } from '@tanstack/react-query';
import { useEffect, useState } from 'react';
import { useParams } from 'react-router';
import { queries } from '../api/queries.js';
import type { SealRecordView } from '../contracts.js';
import { Answer, Icon, Instant, Notice, PageHead } from '../kit/index.js';
import { RemarkLine } from './RemarkLine.js';
import '../styles/listening.css';

export function SealRecordPage() {
  const { sessionId = '' } = useParams();
  const record = useQuery(queries.sealRecord(sessionId));
  return (
    <Answer query={record} what="the seal">
      {(found) => (
        <>
          <PageHead
            title={`Listening to ${found.unitName}`}
            above={{ to: `/units/${found.unitId}/listening`, words: found.unitName }}
          />
          <SealRecord record={found} />
        </>
      )}
    </Answer>
  );
}

export function PublishedSealsPage() {
  const { loanId = '' } = useParams();
  const records = useQuery(queries.publishedSeals(loanId));
  return (
    <>
      <PageHead title="How it was listened to" above={{ to: '/published', words: 'Published' }} />
      <Answer query={records} what="the listening">
        {(found) =>
          found.length === 0 ? (
            <p className="empty">No sealed listening session belongs to this review.</p>
          ) : (
            <div className="stack">
              {found.map((record) => (
                <section key={record.sessionId} className="stack session-card">
                  <h2>
                    {record.unitName}, {record.by}
                  </h2>
                  <SealRecord record={record} />
                </section>
              ))}
            </div>
          )
        }
      </Answer>
    </>
  );
}

function SealRecord({ record }: { record: SealRecordView }) {
  return (
    <div className="stack session">
      <p>
        <Icon name={record.blind ? 'lock' : 'ear'} />{' '}
        {record.blind
          ? `Blind: ${record.by} wrote and sealed this before opening the unit’s data.`
          : `Not blind: ${record.by} had opened the unit’s data, or gave up listening blind, before the seal.`}
      </p>
      <dl className="facts">
        <Fact name="Listener">{record.by}</Fact>
        <Fact name="Begun">
          <Instant at={record.begunAt} />
        </Fact>
        <Fact name="Sealed">
          <Instant at={record.sealedAt} />
        </Fact>
        <Fact name="Data first opened">
          {record.dataOpenedAt ? <Instant at={record.dataOpenedAt} /> : 'not yet'}
        </Fact>
        {record.givenUpAt && (
          <Fact name="Blindness given up">
            <Instant at={record.givenUpAt} />
          </Fact>
        )}
      </dl>
      <ul className="lines">
        {record.remarks.map((remark) => (
          <li key={remark.id}>
            <RemarkLine remark={remark} />
          </li>
        ))}
        {record.additions.map(({ id, remark, at }) => (
          <li key={id}>
            <RemarkLine remark={remark} />
            <div className="small soft">
              added after the seal, <Instant at={at} />
            </div>
          </li>
        ))}
      </ul>
      <Check record={record} />
    </div>
  );
}

function Fact({ name, children }: { name: string; children: React.ReactNode }) {
  return (
    <div>
      <dt>{name}</dt>
      <dd>{children}</dd>
    </div>
  );
}

function Check({ record }: { record: SealRecordView }) {
  const here = useHashTakenHere(record.sealedText);
  if (record.sealedText === null) {
    return (
      <Notice icon="clock" title="Sealed by an earlier version">
        <p>It did not keep the text its fingerprint was taken over, so it cannot be taken again.</p>
      </Notice>
    );
  }
  const broken = !record.holds || (here !== null && here !== record.sealHash);
  return (
    <section className="stack" aria-label="Check of the seal">
      {broken ? (
        <Notice tone="wrong" title="The seal is broken: what stands here is not what was sealed." />
      ) : (
        <Notice icon="check" title="The seal holds: what stands here is what was sealed.">
          <p>
            {here === null
              ? 'The fingerprint was taken again by the server.'
              : 'The fingerprint was taken again by the server and by this page.'}
          </p>
        </Notice>
      )}
      <p className="small">
        Fingerprint (SHA-256) <span className="num seal-hash">{record.sealHash}</span>
      </p>
      <details>
        <summary>Check it yourself</summary>
        <p className="small">
          Save this text as it stands, in UTF-8 and without a line break at its end, and take its SHA-256. It
          is JSON in the one canonical form of RFC 8785.
        </p>
        <pre className="seal-text">{record.sealedText}</pre>
      </details>
    </section>
  );
}

/** Null where the page may not: browsers take hashes only over a safe connection. */
function useHashTakenHere(text: string | null): string | null {
  const [hash, setHash] = useState<string | null>(null);
  useEffect(() => {
    if (text === null || !window.isSecureContext) return undefined;
    let over = false;
    void crypto.subtle.digest('SHA-256', new TextEncoder().encode(text)).then((digest) => {
      const hex = Array.from(new Uint8Array(digest), (byte) => byte.toString(16).padStart(2, '0')).join('');
      if (!over) setHash(hex);
    });
    return () => {
      over = true;
    };
  }, [text]);
  return hash;
}
