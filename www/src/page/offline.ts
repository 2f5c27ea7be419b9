// Keeping the page for when there is no connection, and saying when there is a newer one.

import { signal } from '@preact/signals';

export type Offline = 'unknown' | 'ready' | 'new-version';

export const offline = signal<Offline>('unknown');

let waiting: ServiceWorker | null = null;
let wanted = false;

export function keepForOffline(): void {
  if (!('serviceWorker' in navigator) || import.meta.env.DEV) return;
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (wanted) location.reload();
  });
  navigator.serviceWorker
    .register(new URL('sw.js', document.baseURI))
    .then(follow)
    .catch(() => undefined);
}

/** Lets the new version take over; the page loads again when it has. */
export function useNewVersion(): void {
  wanted = true;
  waiting?.postMessage('take-over');
}

function follow(registration: ServiceWorkerRegistration): void {
  tell(registration);
  registration.addEventListener('updatefound', () => {
    registration.installing?.addEventListener('statechange', () => tell(registration));
  });
}

function tell(registration: ServiceWorkerRegistration): void {
  waiting = registration.waiting;
  if (registration.active === null) return;
  offline.value = waiting === null ? 'ready' : 'new-version';
}
