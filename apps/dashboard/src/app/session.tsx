/** Who is here; every page below the door may ask. */
import { createContext, use } from 'react';
import type { Person, SessionState } from '../contracts.js';

export interface Here {
  readonly person: Person;
  readonly session: SessionState;
}
export const HereContext = createContext<Here | null>(null);

export function useHere(): Here {
  const here = use(HereContext);
  if (!here) throw new Error('This page stands outside the door.');
  return here;
}
export const isMember = (person: Person): boolean => person.role !== 'viewer';
export const isOwner = (person: Person): boolean => person.role === 'owner';
