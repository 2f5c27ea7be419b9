// Files that the system sends to the installed page: opened with it, or shared with it.

import { take } from './hand-in';

/** Not in every browser, nor in the types. */
type LaunchQueue = {
  setConsumer(consumer: (launch: { files: readonly FileSystemFileHandle[] }) => void): void;
};

/** Takes what is sent, from now on. */
export function takeSent(): void {
  const { launchQueue } = window as { launchQueue?: LaunchQueue };
  launchQueue?.setConsumer(({ files }) => void open(files));
  const { serviceWorker } = navigator;
  if (serviceWorker === undefined) return;
  serviceWorker.addEventListener('message', ({ data }: MessageEvent<{ shared?: File[] }>) => {
    if (data.shared !== undefined) takeFiles(data.shared);
  });
  void serviceWorker.ready.then(({ active }) => active?.postMessage('shared?'));
}

async function open(handles: readonly FileSystemFileHandle[]): Promise<void> {
  takeFiles(await Promise.all(handles.map((handle) => handle.getFile())));
}

function takeFiles(files: readonly File[]): void {
  location.hash = '#read';
  take({ recordings: files.map((file) => ({ file, folder: '' })), others: 0 });
}
