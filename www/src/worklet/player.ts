// Plays code. All that it says and where its edges are is worked out by the module, sample by
// sample, on the output's own count of samples.

import {
  DONE,
  type FromPlayer,
  handOver,
  type LiveModule,
  type Order,
  type PlayerOptions,
  textOf,
  type ToPlayer,
} from '../protocol/live';

class Player extends AudioWorkletProcessor {
  private readonly module: LiveModule;
  private order: Order | undefined;
  private ended = false;

  constructor({ processorOptions }: { processorOptions: PlayerOptions }) {
    super();
    const { module, order } = processorOptions;
    this.module = new WebAssembly.Instance(module, {}).exports as unknown as LiveModule;
    this.port.onmessage = (event: MessageEvent<ToPlayer>) => this.hear(event.data);
    handOver(this.module, order);
    if (this.module.prepare() === DONE) this.post({ kind: 'ready' });
    else this.end('broken');
  }

  process(_inputs: Float32Array[][], outputs: Float32Array[][]): boolean {
    const [channel] = outputs[0] ?? [];
    if (this.ended || channel === undefined) return !this.ended;
    if (this.order !== undefined) this.play(this.order);
    const { module } = this;
    if (module.render(currentFrame, channel.length) !== DONE) {
      this.end('missing');
      return false;
    }
    channel.set(new Float32Array(module.memory.buffer, module.samples(), channel.length));
    this.tell();
    return true;
  }

  private hear(message: ToPlayer): void {
    switch (message.kind) {
      case 'play':
        this.order = message.order;
        return;
      case 'flash': {
        const sample = this.module.flash();
        if (!Number.isNaN(sample)) this.post({ kind: 'flash', sample, address: this.text() });
        return;
      }
      case 'end':
        this.ended = true;
        return;
    }
  }

  private play(order: Order): void {
    this.order = undefined;
    handOver(this.module, order);
    if (this.module.play(currentFrame) !== DONE) this.end('broken');
  }

  /** Tells of the codewords that began within what has been made. */
  private tell(): void {
    for (;;) {
      const sample = this.module.begun();
      if (Number.isNaN(sample)) return;
      this.post({ kind: 'codeword', sample, address: this.text() });
    }
  }

  private end(because: 'missing' | 'broken'): void {
    this.ended = true;
    this.post({ kind: 'ended', because, detail: this.text() });
  }

  /** The module's last text, of plain characters: worklets have no decoder. */
  private text(): string {
    return String.fromCharCode(...textOf(this.module));
  }

  private post(message: FromPlayer): void {
    this.port.postMessage(message);
  }
}

registerProcessor('plumbline-player', Player);
