/** The terms of a loan, as fields. */
import type { FieldGroup } from '../edit/RecordEditor.js';
import type { LoanView } from '../contracts.js';

export const termGroups: readonly FieldGroup<LoanView>[] = [
  {
    title: 'Dates',
    specs: [
      { key: 'title', label: 'Working title', kind: 'text', required: true, wide: true },
      { key: 'arrivalFrom', label: 'May arrive from', kind: 'day' },
      { key: 'arrivalTo', label: 'Should arrive by', kind: 'day' },
      { key: 'arrivedOn', label: 'Arrived on', kind: 'day', none: 'not yet' },
      { key: 'returnBy', label: 'Back with the maker by', kind: 'day', none: 'no date agreed' },
      { key: 'loanDays', label: 'Loan length', kind: 'whole', unit: 'days' },
      {
        key: 'embargoUntil',
        label: 'Embargo until',
        kind: 'instant',
        hint: 'In your own time zone. Nothing is published before; it is not a due date.',
        none: 'none',
      },
      {
        key: 'keepUntilPublished',
        label: 'The maker wants the unit kept until the review is out',
        kind: 'check',
      },
    ],
  },
  {
    title: 'Freight and value',
    specs: [
      {
        key: 'freightPayer',
        label: 'Freight is paid by',
        kind: 'choice',
        options: [
          { value: 'maker', words: 'the maker' },
          { value: 'team', words: 'the team' },
          { value: 'shared', words: 'both, shared' },
        ],
        none: 'not settled',
      },
      { key: 'freightDays', label: 'Freight each way', kind: 'whole', unit: 'working days', required: true },
      { key: 'carrier', label: 'Carrier', kind: 'text', nullable: true },
      {
        key: 'insuredValueMinor',
        label: 'Insured value',
        kind: 'money',
        currencyKey: 'currency',
        none: 'not settled',
      },
      {
        key: 'currency',
        label: 'Currency',
        kind: 'text',
        required: true,
        hint: 'Three letters, such as EUR.',
      },
    ],
  },
  {
    title: 'Publication',
    specs: [
      {
        key: 'makerCommentAgreed',
        label: 'It is settled whether the maker may comment',
        kind: 'check',
        none: 'not yet',
      },
      { key: 'makerMayComment', label: 'The maker may comment before publication', kind: 'check' },
      {
        key: 'publishedUrl',
        label: 'Published at',
        kind: 'link',
        nullable: true,
        wide: true,
        none: 'not yet',
      },
    ],
  },
  {
    title: 'Return',
    specs: [
      { key: 'returnCarrier', label: 'Carrier back', kind: 'text', nullable: true, none: 'not booked' },
      { key: 'returnTracking', label: 'Tracking number', kind: 'text', nullable: true },
      { key: 'deliveredOn', label: 'Delivered on', kind: 'day', none: 'not yet' },
      {
        key: 'deliveryConfirmedBy',
        label: 'Delivery confirmed by',
        kind: 'text',
        nullable: true,
        none: 'nobody yet',
      },
      {
        key: 'outcome',
        label: 'Outcome',
        kind: 'choice',
        options: [
          { value: 'returned', words: 'returned' },
          { value: 'bought', words: 'bought' },
          { value: 'written-off', words: 'written off' },
        ],
        none: 'open',
      },
    ],
  },
  { title: 'Notes', specs: [{ key: 'notes', label: 'Notes', kind: 'area', none: 'none' }] },
];
