// The worker that serves the shell without a network. A new version waits until somebody takes it; never mid-check.
import { newVersion } from './state';

let waitingWorker: ServiceWorker | null = null;

export function registerWorker(): void {
  if (!('serviceWorker' in navigator)) return;
  const controlled = navigator.serviceWorker.controller !== null;
  navigator.serviceWorker.register('/sw.js').then(
    (registration) => {
      if (!registration) return;
      const found = (worker: ServiceWorker | null) => {
        if (!worker || !navigator.serviceWorker.controller) return;
        waitingWorker = worker;
        newVersion.value = true;
      };
      found(registration.waiting);
      registration.addEventListener('updatefound', () => {
        const worker = registration.installing;
        worker?.addEventListener('statechange', () => {
          if (worker.state === 'installed') found(worker);
        });
      });
    },
    () => {
      // Without a worker everything works but a start without a network.
    },
  );
  navigator.serviceWorker.addEventListener('controllerchange', () => {
    if (controlled || waitingWorker) location.reload();
  });
}

export function takeNewVersion(): void {
  waitingWorker?.postMessage('take-over');
}
