import type { QualityFinding } from '../series.js';
import { angleName } from './angleName.js';
import { neighbourEvidence } from './neighbourEvidence.js';
import type { QualityContext } from './qualityContext.js';

/**
 * A finding about one angle's file with a picture: the response between its neighbours, where the check
 * brought none of its own.
 */
export function withEvidence(context: QualityContext, finding: QualityFinding): QualityFinding {
  if (finding.evidence !== undefined || finding.file === undefined) return finding;
  const matching = (context.directivity?.angles ?? []).filter(
    ({ series, mirrored }) => !mirrored && series.source.file === finding.file,
  );
  // A table of many angles does not say which one is meant.
  if (matching.length !== 1) return finding;
  const [{ orbit, angleDeg }] = matching;
  const title = `${angleName(orbit, angleDeg)} between its neighbours`;
  const evidence = neighbourEvidence(context, orbit, angleDeg, title);
  return evidence === undefined ? finding : { ...finding, evidence };
}
