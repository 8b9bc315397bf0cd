/** The archive: analysed units found by their numbers. */
import { useQuery } from '@tanstack/react-query';
import { useState } from 'react';
import { Link, useSearchParams } from 'react-router';
import { queries } from '../api/queries.js';
import { isOwner, useHere } from '../app/session.js';
import { MOST_COMPARED, type ArchivePage as Found } from '../contracts.js';
import { Answer, Button, Icon, Notice, PageHead } from '../kit/index.js';
import { readAsk, readChosen, writeAsk, type ArchiveAsk } from './archiveAddress.js';
import { archiveQueries } from './archiveQueries.js';
import { ArchiveSearch } from './ArchiveSearch.js';
import { ArchiveTable } from './ArchiveTable.js';
import { pageWords, withheldWords } from './archiveWords.js';
import { CampaignStrip } from './CampaignStrip.js';
import { comparePath } from './compareAddress.js';
import '../styles/archive.css';

export function ArchivePage() {
  const { person } = useHere();
  const [address, setAddress] = useSearchParams();
  const ask = readAsk(address);
  // A tick must show at once; the address, which a link or a return begins from, follows.
  const [chosen, setChosen] = useState<readonly string[]>(() => readChosen(address));
  const found = useQuery(archiveQueries.page(ask));
  const makers = useQuery(queries.makers());
  const change = (next: ArchiveAsk) => setAddress(writeAsk(next, chosen), { preventScrollReset: true });
  const choose = (ids: readonly string[]) => {
    setChosen(ids);
    setAddress(writeAsk(ask, ids), { replace: true, preventScrollReset: true });
  };
  return (
    <>
      <PageHead title="Archive" beneath="Every analysed unit by its numbers." />
      <div className="stack">
        {isOwner(person) && <CampaignStrip />}
        {/* Another search, such as after going back, is another draft; another order or page is not. */}
        <ArchiveSearch
          key={writeAsk({ ...ask, page: 1, sort: 'measured', order: 'falling' }, []).toString()}
          ask={ask}
          onAsk={change}
          makers={makers.data ?? []}
        />
        <Answer query={found} what="the archive">
          {(page) => <Units page={page} ask={ask} chosen={chosen} onAsk={change} onChoose={choose} />}
        </Answer>
      </div>
    </>
  );
}

interface UnitsProps {
  readonly page: Found;
  readonly ask: ArchiveAsk;
  readonly chosen: readonly string[];
  readonly onAsk: (ask: ArchiveAsk) => void;
  readonly onChoose: (ids: readonly string[]) => void;
}

function Units({ page, ask, chosen, onAsk, onChoose }: UnitsProps) {
  const withheld = withheldWords(page.withheld);
  return (
    <section className="stack" aria-label="Units found">
      {withheld && (
        <Notice icon="ear">
          <p>{withheld}</p>
        </Notice>
      )}
      <output className="small soft">{pageWords(page)}</output>
      {page.total === 0 ? (
        <p className="empty">
          No analysed unit is like this. Widen the limits, or start over with an empty search.
        </p>
      ) : (
        <ArchiveTable rows={page.rows} ask={ask} chosen={chosen} onAsk={onAsk} onChoose={onChoose} />
      )}
      <Pages page={page} onPage={(next) => onAsk({ ...ask, page: next })} />
      {page.total > 0 && <Chosen chosen={chosen} onClear={() => onChoose([])} />}
    </section>
  );
}

function Pages({ page, onPage }: { page: Found; onPage: (page: number) => void }) {
  const last = Math.max(1, Math.ceil(page.total / page.pageSize));
  if (last === 1 && page.page === 1) return null;
  return (
    <nav className="row" aria-label="Pages">
      <Button icon="back" isDisabled={page.page <= 1} onPress={() => onPage(Math.min(last, page.page - 1))}>
        Earlier page
      </Button>
      <span>
        Page {page.page} of {last}
      </span>
      <Button icon="arrow" isDisabled={page.page >= last} onPress={() => onPage(page.page + 1)}>
        Next page
      </Button>
    </nav>
  );
}

function Chosen({ chosen, onClear }: { chosen: readonly string[]; onClear: () => void }) {
  const full = chosen.length >= MOST_COMPARED;
  return (
    <div className="archive-chosen row" data-some={chosen.length > 0 || undefined}>
      <span>
        {chosen.length === 0
          ? 'Tick two or more units to lay them over each other.'
          : `${chosen.length} ticked${chosen.length === 1 ? '; tick one more to compare' : ''}${full ? ', which is the most' : ''}`}
      </span>
      {chosen.length > 1 && (
        <Link className="button button-main" to={comparePath({ units: chosen })}>
          <Icon name="curve" /> Lay over each other
        </Link>
      )}
      {chosen.length > 0 && (
        <Button look="quiet" onPress={onClear}>
          Untick all
        </Button>
      )}
    </div>
  );
}
