// The module that plays in the worklet and watches on the page: compiled once.

import { DONE, handOver, type LiveModule, type Order, textOf } from '../../../protocol/live';
import address from '../../../wasm/live.wasm?url';
import { type Reading, readClocks } from './clocks';

let compiled: Promise<WebAssembly.Module> | undefined;

/** The compiled module; another attempt after one that failed. */
export function liveModule(): Promise<WebAssembly.Module> {
  compiled ??= WebAssembly.compileStreaming(fetch(address)).catch((error: unknown) => {
    compiled = undefined;
    throw error;
  });
  return compiled;
}

/** How long a sample takes to the output, in milliseconds, and what that is known by. */
export type Latency = { milliseconds: number; knownBy: 'measured' | 'stated' | 'nothing' };

const KNOWN_BY = ['measured', 'stated', 'nothing'] as const;

/** Watches an output by the device's clocks: all arithmetic on time is the module's. */
export class Watch {
  private constructor(private readonly module: LiveModule) {}

  static async over(order: Order): Promise<Watch> {
    const instance = await WebAssembly.instantiate(await liveModule(), {});
    const watch = new Watch(instance.exports as unknown as LiveModule);
    watch.begin(order);
    return watch;
  }

  /** Begins anew with another order. */
  begin(order: Order): void {
    handOver(this.module, order);
    if (this.module.watch() !== DONE) throw new Error(this.text());
  }

  /** What is wrong with the output by another reading, or nothing. */
  check(reading: Reading): string | undefined {
    this.read(reading);
    return this.module.check() === DONE ? undefined : this.text();
  }

  /** Which sample will be at the output `ahead` milliseconds after a reading. */
  sampleAt(reading: Reading, ahead: number): number {
    this.read(reading);
    return this.module.output_sample(ahead);
  }

  /** By the last reading. */
  latency(): Latency {
    const knownBy = KNOWN_BY[this.module.known_by()] ?? 'nothing';
    return { milliseconds: this.module.latency(), knownBy };
  }

  /** How far the code has parted from the time of day, in words. */
  parted(): string {
    this.module.parted();
    return this.text();
  }

  private read(reading: Reading): void {
    readClocks(this.module, reading);
  }

  private text(): string {
    return new TextDecoder().decode(textOf(this.module));
  }
}
