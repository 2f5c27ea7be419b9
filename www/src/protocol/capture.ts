// Everything that crosses the borders of the worklet that captures: to the page, and to the worker
// that listens.

/** What the worklet is told, once: where the sound goes. */
export type ToCapture = { kind: 'to'; port: MessagePort };

/** Sound on its way from the worklet to the worker, a plane for each channel. */
export type Captured = { number: number; planes: Float32Array<ArrayBuffer>[] };

/** What the worklet tells the page: how many channels the input has now. */
export type FromCapture = { kind: 'channels'; channels: number };
