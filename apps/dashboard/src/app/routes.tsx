/** Every address of the dashboard. Pages load when first opened. */
import { createBrowserRouter, Navigate, type RouteObject } from 'react-router';
import { Today } from '../today/Today.js';
import { App } from './App.js';
import { LostPage, NoSuchPage } from './LostPage.js';
import { Shell } from './Shell.js';
import { isMember, useHere } from './session.js';

function Front() {
  const { person } = useHere();
  return isMember(person) ? <Today /> : <Navigate to="/published" replace />;
}

const loanParts: RouteObject[] = [
  { index: true, lazy: async () => ({ Component: (await import('../loans/LoanNext.js')).LoanNext }) },
  { path: 'terms', lazy: async () => ({ Component: (await import('../loans/LoanTerms.js')).LoanTerms }) },
  { path: 'crate', lazy: async () => ({ Component: (await import('../crate/LoanCrate.js')).LoanCrate }) },
  {
    path: 'verdict',
    lazy: async () => ({ Component: (await import('../verdict/LoanVerdict.js')).LoanVerdict }),
  },
  {
    path: 'publish',
    lazy: async () => ({
      Component: (await import('../publication/LoanPublication.js')).LoanPublication,
    }),
  },
  {
    path: 'history',
    lazy: async () => ({ Component: (await import('../history/LoanHistory.js')).LoanHistory }),
  },
];
const planParts: RouteObject[] = [
  { index: true, lazy: async () => ({ Component: (await import('../plan/WeekPage.js')).WeekPage }) },
  {
    path: 'proposal/:proposalId?',
    lazy: async () => ({ Component: (await import('../plan/ProposalPage.js')).ProposalPage }),
  },
  {
    path: 'workload',
    lazy: async () => ({ Component: (await import('../plan/WorkloadPage.js')).WorkloadPage }),
  },
  {
    path: 'what-if',
    lazy: async () => ({ Component: (await import('../plan/WhatIfPage.js')).WhatIfPage }),
  },
  { path: 'hours', lazy: async () => ({ Component: (await import('../house/HousePage.js')).HousePage }) },
  { path: 'work', lazy: async () => ({ Component: (await import('../house/WorkPage.js')).WorkPage }) },
];
const unitParts: RouteObject[] = [
  { index: true, lazy: async () => ({ Component: (await import('../unit/UnitData.js')).UnitData }) },
  {
    path: 'results',
    lazy: async () => ({ Component: (await import('../unit/UnitResults.js')).UnitResults }),
  },
  {
    path: 'listening',
    lazy: async () => ({ Component: (await import('../listening/UnitListening.js')).UnitListening }),
  },
  {
    path: 'evidence',
    lazy: async () => ({ Component: (await import('../evidence/UnitEvidence.js')).UnitEvidence }),
  },
  { path: 'about', lazy: async () => ({ Component: (await import('../unit/UnitAbout.js')).UnitAbout }) },
];

export const makeRouter = () =>
  createBrowserRouter([
    {
      // For everybody: no account, nothing of the house.
      path: 'reviews',
      lazy: async () => ({ Component: (await import('../reviews/ReviewsFrame.js')).ReviewsFrame }),
      ErrorBoundary: LostPage,
      HydrateFallback: () => null,
      children: [
        {
          index: true,
          lazy: async () => ({ Component: (await import('../reviews/ReviewsPage.js')).ReviewsPage }),
        },
        {
          path: 'compare',
          lazy: async () => ({
            Component: (await import('../reviews/CompareReviewsPage.js')).CompareReviewsPage,
          }),
        },
        {
          path: ':loanId',
          lazy: async () => ({ Component: (await import('../reviews/ReviewPage.js')).ReviewPage }),
        },
      ],
    },
    {
      Component: App,
      ErrorBoundary: LostPage,
      HydrateFallback: () => null,
      children: [
        {
          Component: Shell,
          ErrorBoundary: LostPage,
          children: [
            { index: true, Component: Front },
            {
              path: 'loans',
              lazy: async () => ({ Component: (await import('../loans/LoanList.js')).LoanList }),
            },
            {
              path: 'loans/new',
              lazy: async () => ({ Component: (await import('../loans/NewLoan.js')).NewLoan }),
            },
            {
              path: 'loans/:loanId',
              lazy: async () => ({ Component: (await import('../loans/LoanPage.js')).LoanPage }),
              children: loanParts,
            },
            {
              path: 'units/:unitId',
              lazy: async () => ({ Component: (await import('../unit/UnitPage.js')).UnitPage }),
              children: unitParts,
            },
            {
              path: 'plan',
              lazy: async () => ({ Component: (await import('../plan/PlanPage.js')).PlanPage }),
              children: planParts,
            },
            {
              path: 'listening/:sessionId',
              lazy: async () => ({
                Component: (await import('../listening/SealRecordPage.js')).SealRecordPage,
              }),
            },
            {
              path: 'published/:loanId/listening',
              lazy: async () => ({
                Component: (await import('../listening/SealRecordPage.js')).PublishedSealsPage,
              }),
            },
            {
              path: 'makers',
              lazy: async () => ({ Component: (await import('../makers/MakerList.js')).MakerList }),
            },
            {
              path: 'makers/:makerId',
              lazy: async () => ({ Component: (await import('../makers/MakerPage.js')).MakerPage }),
            },
            {
              path: 'people',
              lazy: async () => ({ Component: (await import('../people/PeoplePage.js')).PeoplePage }),
            },
            {
              path: 'backups',
              lazy: async () => ({ Component: (await import('../backups/BackupsPage.js')).BackupsPage }),
            },
            {
              path: 'operations',
              lazy: async () => ({
                Component: (await import('../operations/OperationsPage.js')).OperationsPage,
              }),
            },
            {
              path: 'you/messages',
              lazy: async () => ({ Component: (await import('../people/MessagesPage.js')).MessagesPage }),
            },
            {
              path: 'bin',
              lazy: async () => ({ Component: (await import('../bin/BinPage.js')).BinPage }),
            },
            {
              path: 'you',
              lazy: async () => ({ Component: (await import('../people/YouPage.js')).YouPage }),
            },
            {
              path: 'history',
              lazy: async () => ({ Component: (await import('../history/HistoryPage.js')).HistoryPage }),
            },
            {
              path: 'archive',
              lazy: async () => ({ Component: (await import('../archive/ArchivePage.js')).ArchivePage }),
            },
            {
              path: 'archive/compare',
              lazy: async () => ({ Component: (await import('../archive/ComparePage.js')).ComparePage }),
            },
            {
              path: 'cautions',
              lazy: async () => ({ Component: (await import('../cautions/CautionsPage.js')).CautionsPage }),
            },
            {
              path: 'loans/:loanId/packing-list',
              lazy: async () => ({ Component: (await import('../crate/PackingList.js')).PackingList }),
            },
            {
              path: 'readers',
              lazy: async () => ({ Component: (await import('../publication/ReadersPage.js')).ReadersPage }),
            },
            {
              path: 'published',
              lazy: async () => ({
                Component: (await import('../published/PublishedPage.js')).PublishedPage,
              }),
            },
            { path: 'invite', Component: () => null },
            { path: 'preview', Component: () => null },
            { path: '*', Component: NoSuchPage },
          ],
        },
      ],
    },
  ]);
