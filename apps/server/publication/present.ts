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
  type ReviewUnitRow,
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

export function presentReviewUnit(unit: ReviewUnitRow): ReviewUnitView {
  const { id, name, makerName, kind, drivers, finish, priceMinor, currency, invented } = unit;
  const { loanId, reviewTitle, hasCurves } = unit;
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
    loanId,
    reviewTitle,
    numbers: Object.fromEntries(archiveNumberNames.map((number) => [number, unit[number]])) as PublicNumbers,
    hasCurves,
    publishedAt: unit.publishedAt.toISOString(),
  };
}
