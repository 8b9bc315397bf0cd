import type { DemoMaker } from './model.js';

/** Invented makers; telephone numbers are from the range set aside for drama in the United Kingdom. */
export const demoMakers: readonly DemoMaker[] = [
  {
    id: 'brindlewick',
    name: 'Brindlewick Acoustics',
    website: 'https://brindlewick.example',
    notes: 'Invented maker. Answers within a day; sends crates by their own van on Tuesdays.',
    contacts: [
      {
        name: 'Oda Farrowgate',
        email: 'oda@brindlewick.example',
        phone: '+44 1632 960101',
        duty: 'Press and loans',
      },
      {
        name: 'Ralf Thistlemoor',
        email: 'workshop@brindlewick.example',
        phone: '+44 1632 960102',
        duty: 'Engineering',
      },
    ],
  },
  {
    id: 'ostrelle',
    name: 'Ostrelle Audio',
    website: 'https://ostrelle.example',
    notes: 'Invented maker. Wants units kept until the review is out; asks to comment on the facts.',
    contacts: [
      {
        name: 'Ines Calderwick',
        email: 'loans@ostrelle.example',
        phone: '+44 1632 960211',
        duty: 'Loans',
      },
      {
        name: 'Tomas Riddlesworth',
        email: 'freight@ostrelle.example',
        phone: '+44 1632 960212',
        duty: 'Freight',
      },
    ],
  },
  {
    id: 'tarnhollow',
    name: 'Tarnhollow Loudspeakers',
    website: 'https://tarnhollow.example',
    notes: 'Invented maker. Small workshop; each specimen is promised to a dealer after the loan.',
    contacts: [
      {
        name: 'Greta Stonecroft',
        email: 'greta@tarnhollow.example',
        phone: '+44 1632 960321',
        duty: 'Owner',
      },
    ],
  },
  {
    id: 'vellimar',
    name: 'Vellimar Sound',
    website: 'https://vellimar.example',
    notes: 'Invented maker. First loan last year; accessories came in a second parcel then.',
    contacts: [
      {
        name: 'Anton Merriwold',
        email: 'press@vellimar.example',
        phone: '+44 1632 960431',
        duty: 'Press',
      },
      {
        name: 'Lucia Hartfenn',
        email: 'lab@vellimar.example',
        phone: '+44 1632 960432',
        duty: 'Measurements',
      },
    ],
  },
];
