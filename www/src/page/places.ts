import type { ComponentType } from 'preact';
import { Listen } from './listen/listen';
import { Make } from './make/make';
import { Read } from './read/read';
import { WorkOut } from './work-out/work-out';

export type Place = { id: string; name: string; page: ComponentType };

/** The places that are built, in the order of the navigation. Another place is another entry. */
export const places: readonly [Place, ...Place[]] = [
  { id: 'read', name: 'Read', page: Read },
  { id: 'make', name: 'Make', page: Make },
  { id: 'listen', name: 'Listen', page: Listen },
  { id: 'work-out', name: 'Work out', page: WorkOut },
];
