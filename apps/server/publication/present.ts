/** What is said of publications: every field named, nothing else leaves. */
import type {
  PublicationHouseView,
  PublicationView,
  PublicNumbers,
  ReviewUnitView,
} from '../../../libs/contracts/index.js';
import { archiveNumberNames } from '../../../libs/contracts/index.js';
import {
  instantOf,
  type PublicationHouseRow,
  type PublicationRow,
  type PublishedUnitRow,
} from '../../../libs/store/index.js';

export function presentPublication(row: PublicationRow, publicUrl: string | undefined): PublicationView {
  const { id, loanId, purpose, state, number, title, changeNote, overrideReason, progress, reason } = row;
  const out = number !== null;
  return {
    id,
    loanId,
    purpose,
    state,
    number,
    title,
    changeNote,
    overrideReason,
    progress,
    reason,
    askedBy: row.askedByName,
    askedAt: row.askedAt.toISOString(),
    publishAfter: instantOf(row.publishAfter),
    bundleBytes: row.bundleBytes,
    bundleUrl: row.bundle ? `/api/publications/${id}/bundle` : null,
    publishedAt: instantOf(row.publishedAt),
    address: out
      ? `${publicUrl ?? ''}/reviews/${loanId}${state === 'superseded' ? `?version=${number}` : ''}`
      : null,
    placedAt: instantOf(row.placedAt),
    placeFault: row.placeFault,
    version: row.version,
  };
}

export function presentHouse(row: PublicationHouseRow): PublicationHouseView {
  const { licenceName, licenceUrl, licenceWords, showPreference, showListening, feedbackOpen, version } = row;
  return { licenceName, licenceUrl, licenceWords, showPreference, showListening, feedbackOpen, version };
}

/** A list reads no curves, profiles or figures. */
type Listed = Omit<PublishedUnitRow, 'curves' | 'profile' | 'figures'>;

export const publicNumbersOf = (unit: Listed): PublicNumbers =>
  Object.fromEntries(archiveNumberNames.map((name) => [name, unit[name]])) as PublicNumbers;

export function presentReviewUnit(
  unit: Listed & { publication: { loanId: string; title: string; publishedAt: Date | null } },
  hasCurves: boolean,
): ReviewUnitView {
  const { id, name, makerName, kind, drivers, finish, priceMinor, currency, invented } = unit;
  return {
    id,
    name,
    makerName,
    kind,
    drivers,
    finish,
    priceMinor,
    currency,
    invented,
    loanId: unit.publication.loanId,
    reviewTitle: unit.publication.title,
    numbers: publicNumbersOf(unit),
    hasCurves,
    publishedAt: instantOf(unit.publication.publishedAt) ?? '',
  };
}
