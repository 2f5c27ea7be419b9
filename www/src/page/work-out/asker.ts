// The page's side of the worker that works out, and a new worker after a crash.

import type { Asked, FromSums, ToSums } from '../../protocol/sums';

class Asker {
  private worker: Worker | undefined;
  private request = 0;
  private readonly waiting = new Map<number, (answer: FromSums) => void>();

  begin(): Promise<FromSums> {
    return this.send((request) => ({ kind: 'begin', request }));
  }

  workOut(asked: Asked): Promise<FromSums> {
    return this.send((request) => ({ kind: 'work-out', request, asked }));
  }

  private send(question: (request: number) => ToSums): Promise<FromSums> {
    this.request += 1;
    const { request } = this;
    this.worker ??= this.start();
    this.worker.postMessage(question(request));
    return new Promise((resolve) => this.waiting.set(request, resolve));
  }

  private start(): Worker {
    const worker = new Worker(new URL('../../worker/sums.ts', import.meta.url), { type: 'module' });
    worker.addEventListener('message', ({ data }: MessageEvent<FromSums>) => {
      this.waiting.get(data.request)?.(data);
      this.waiting.delete(data.request);
      if (data.kind === 'broken') this.broken(data.detail);
    });
    worker.addEventListener('error', (event) => {
      event.preventDefault();
      this.broken(event.message || 'the worker ended');
    });
    return worker;
  }

  /** After a trap the module must not be used again. */
  private broken(detail: string): void {
    this.worker?.terminate();
    this.worker = undefined;
    for (const [request, resolve] of this.waiting) resolve({ kind: 'broken', request, detail });
    this.waiting.clear();
  }
}

export const asker = new Asker();
