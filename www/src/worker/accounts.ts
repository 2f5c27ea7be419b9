// How far a long piece of work in a worker has come.

import type { Progress } from '../protocol/messages';
import { turn } from './turn';

/** Milliseconds between two accounts. */
const BETWEEN = 200;

/**
 * Says how far the work has come, now and again, and lets messages in. The first account may be due
 * as soon as so many bytes are done; the end itself is no account.
 */
export class Accounts {
  private done = 0;
  private last = performance.now();

  constructor(
    private readonly total: number,
    private readonly say: (progress: Progress) => void,
    private first = Infinity,
  ) {}

  async after(bytes: number): Promise<void> {
    this.done += bytes;
    const now = performance.now();
    const due = now - this.last >= BETWEEN || this.done >= this.first;
    if (!due || this.done >= this.total) return;
    this.first = Infinity;
    this.last = now;
    this.say({ done: this.done, total: this.total });
    await turn();
  }
}
