// Where the bytes of a file go, piece after piece.

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

/** A Blob of many: each piece is handed to the browser, which keeps long ones on its own disk. */
export function inPieces(): Sink {
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

/** Lets messages in that wait for the worker. */
function turn(): Promise<void> {
  return new Promise((done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = () => {
      port1.close();
      done();
    };
    port2.postMessage(null);
  });
}
