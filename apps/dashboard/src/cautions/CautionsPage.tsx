/** Before loud or heavy work: what it does to ears and backs. Nothing here is kept. */
import { PageHead } from '../kit/index.js';
import { LiftLimit } from './LiftLimit.js';
import { LoudSession } from './LoudSession.js';
import '../styles/cautions.css';

export function CautionsPage() {
  return (
    <>
      <PageHead title="Loud and heavy work" beneath="Reckoned here on the page; nothing is kept." />
      <LoudSession />
      <LiftLimit />
    </>
  );
}
