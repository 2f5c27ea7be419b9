// Hands on what comes in, with the number of its first sample, straight to the worker that
// listens. Where a part is missing the numbers say so.

import type { Captured, FromCapture, ToCapture } from '../protocol/capture';

/** So many samples are handed on together. */
const TOGETHER = 256;

class Capture extends AudioWorkletProcessor {
  private to: MessagePort | undefined;
  private channels = 0;
  private number = 0;
  private filled = 0;
  private planes: Float32Array<ArrayBuffer>[] = [];

  constructor() {
    super();
    this.port.onmessage = ({ data }: MessageEvent<ToCapture>) => {
      this.to = data.port;
    };
  }

  process([input]: Float32Array[][]): boolean {
    const length = input?.[0]?.length ?? 0;
    if (this.to === undefined || input === undefined || length === 0) return true;
    if (input.length !== this.channels) this.begin(input.length);
    if (this.filled > 0 && currentFrame !== this.number + this.filled) this.handOn();
    if (this.filled === 0) this.number = currentFrame;
    this.planes.forEach((plane, channel) => plane.set(input[channel]!, this.filled));
    this.filled += length;
    if (this.filled + length > TOGETHER) this.handOn();
    return true;
  }

  private begin(channels: number): void {
    this.handOn();
    this.channels = channels;
    this.renew();
    const message: FromCapture = { kind: 'channels', channels };
    this.port.postMessage(message);
  }

  private renew(): void {
    this.planes = Array.from({ length: this.channels }, () => new Float32Array(TOGETHER));
    this.filled = 0;
  }

  private handOn(): void {
    if (this.filled === 0) return;
    const planes = this.planes.map((plane) => plane.subarray(0, this.filled));
    const captured: Captured = { number: this.number, planes };
    this.to?.postMessage(
      captured,
      this.planes.map(({ buffer }) => buffer),
    );
    this.renew();
  }
}

registerProcessor('plumbline-capture', Capture);
