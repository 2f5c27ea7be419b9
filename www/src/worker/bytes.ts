// The bulk of a recording's bytes, block after block, without ever holding the file whole.

const STREAM_BLOCK = 1024 * 1024;
const SLICE = 4 * 1024 * 1024;
/** Parts that are asked for before they are needed: a read takes a while, however small. */
const AHEAD = 4;

/**
 * What a stream read needs to stay alive. In Chromium a read never ends once its reader or its
 * file has been collected as garbage, so a global keeps them within reach.
 */
const inUse = new Set<unknown>();
Reflect.set(globalThis, 'plumblineBytesInUse', inUse);

/** Runs of a file's bytes in order: of each the first byte, and the one after the last. */
type Pieces = ArrayLike<number>;

export function lengthOf(pieces: Pieces): number {
  let length = 0;
  for (const [begin, end] of pairs(pieces)) length += end - begin;
  return length;
}

/** The bytes of the pieces in order. A block is only valid until the next is asked for. */
export async function* bytesOf(file: Blob, pieces: Pieces): AsyncGenerator<Uint8Array> {
  let small: Blob[] = [];
  for (const [begin, end] of pairs(pieces)) {
    const part = file.slice(begin, end);
    if (part.size < SLICE) {
      small.push(part);
      continue;
    }
    yield* inTurn(small);
    small = [];
    const reader = fillingReader(part);
    yield* reader === undefined ? inTurn(slices(part)) : stream(part, reader);
  }
  yield* inTurn(small);
}

function* pairs(pieces: Pieces): Generator<[number, number]> {
  for (let index = 0; index + 1 < pieces.length; index += 2) {
    yield [pieces[index] ?? 0, pieces[index + 1] ?? 0];
  }
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

function* slices(part: Blob): Generator<Blob> {
  for (let at = 0; at < part.size; at += SLICE) yield part.slice(at, at + SLICE);
}

/** Each part whole, one after the other, while the next ones are on their way. */
async function* inTurn(parts: Iterable<Blob>): AsyncGenerator<Uint8Array> {
  const onTheWay: Promise<ArrayBuffer>[] = [];
  for (const part of parts) {
    const pending = part.arrayBuffer();
    // Who waits for it hears of a failure; nobody else needs to.
    pending.catch(() => undefined);
    if (onTheWay.push(pending) < AHEAD) continue;
    const first = await onTheWay.shift();
    if (first !== undefined) yield new Uint8Array(first);
  }
  for (const part of onTheWay) yield new Uint8Array(await part);
}
