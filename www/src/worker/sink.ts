// Where the bytes of a file go, piece after piece.

import { turn } from './turn';

export interface Sink {
  /** Takes the next bytes; they may be overwritten once this has ended. */
  write(bytes: Uint8Array<ArrayBuffer>): Promise<void>;
  /** The whole file. */
  close(): Promise<Blob>;
  /** Leaves nothing behind. */
  abort(): Promise<void>;
}

/** `remove` is not yet in every browser that can save, nor in the types. */
type Removable = FileSystemFileHandle & { remove?: () => Promise<void> };

/** A file on the disk. It gets its content when it is closed, and not before. */
export async function onDisk(handle: FileSystemFileHandle): Promise<Sink> {
  const stream = await handle.createWritable();
  return {
    write: (bytes) => stream.write(bytes),
    close: async () => {
      await stream.close();
      return handle.getFile();
    },
    abort: async () => {
      await stream.abort().catch(() => undefined);
      // Choosing the file's name has made an empty file of that name.
      await (handle as Removable).remove?.().catch(() => undefined);
    },
  };
}

/** A file in the browser's own store, from where the page hands it over; in pieces without one. */
export async function inBrowser(): Promise<Sink> {
  try {
    return await onDisk(await newInStore());
  } catch {
    return inPieces();
  }
}

/** Where the store keeps what is made, each file under a lock that lasts as long as its page. */
const FOLDER = 'made';

async function newInStore(): Promise<FileSystemFileHandle> {
  const store = await navigator.storage.getDirectory();
  const folder = await store.getDirectoryHandle(FOLDER, { create: true });
  await letGo();
  await clearAway(folder);
  const name = `${crypto.randomUUID()}.wav`;
  letGo = await hold(name);
  return folder.getFileHandle(name, { create: true });
}

/** Ends the lock on the file before: one is kept at a time. */
let letGo: () => Promise<unknown> = () => Promise.resolve();

/** Holds a file's lock; gives the way to let go of it. */
function hold(name: string): Promise<() => Promise<unknown>> {
  return new Promise((held) => {
    const ended: Promise<unknown> = navigator.locks.request(
      name,
      () =>
        new Promise<void>((end) =>
          held(() => {
            end();
            return ended;
          }),
        ),
    );
  });
}

/** Removes the files that no page holds any more. */
async function clearAway(folder: FileSystemDirectoryHandle): Promise<void> {
  for await (const name of folder.keys()) {
    await navigator.locks.request(name, { ifAvailable: true }, async (lock) => {
      if (lock !== null) await folder.removeEntry(name);
    });
  }
}

/** A Blob of many: the browser holds the pieces, in memory or where it sees fit. */
function inPieces(): Sink {
  let pieces: Blob[] = [];
  return {
    write: async (bytes) => {
      pieces.push(new Blob([bytes]));
      await turn();
    },
    close: async () => new Blob(pieces, { type: 'audio/wav' }),
    abort: async () => {
      pieces = [];
    },
  };
}
