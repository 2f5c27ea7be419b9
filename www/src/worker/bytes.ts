// The bulk of a recording's bytes, block after block, without ever holding the file whole.

const STREAM_BLOCK = 1024 * 1024;
const SLICE = 4 * 1024 * 1024;

/**
 * What a stream read needs to stay alive. In Chromium a read never ends once its reader or its
 * file has been collected as garbage, so a global keeps them within reach.
 */
const inUse = new Set<unknown>();
Reflect.set(globalThis, 'plumblineBytesInUse', inUse);

/** The bytes from `begin` to `end` in order. A block is only valid until the next is asked for. */
export async function* bytesOf(file: Blob, begin: number, end: number): AsyncGenerator<Uint8Array> {
  if (begin >= end) return;
  const part = file.slice(begin, end);
  const reader = fillingReader(part);
  yield* reader === undefined ? slices(part) : stream(part, reader);
}

/** A reader that fills our own buffer: by far the quickest way, where there is one. */
function fillingReader(part: Blob): ReadableStreamBYOBReader | undefined {
  try {
    return part.stream().getReader({ mode: 'byob' });
  } catch {
    return undefined;
  }
}

async function* stream(part: Blob, reader: ReadableStreamBYOBReader): AsyncGenerator<Uint8Array> {
  let buffer = new ArrayBuffer(STREAM_BLOCK);
  inUse.add(part).add(reader);
  try {
    for (;;) {
      const pending = reader.read(new Uint8Array(buffer));
      inUse.add(pending);
      const { value, done } = await pending.finally(() => inUse.delete(pending));
      if (done || value === undefined) return;
      yield value;
      buffer = value.buffer;
    }
  } finally {
    reader.cancel().catch(() => undefined);
    inUse.delete(reader);
    inUse.delete(part);
  }
}

async function* slices(part: Blob): AsyncGenerator<Uint8Array> {
  for (let at = 0; at < part.size; at += SLICE) {
    yield new Uint8Array(await part.slice(at, at + SLICE).arrayBuffer());
  }
}
