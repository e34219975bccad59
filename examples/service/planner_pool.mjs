// SPDX-License-Identifier: BSL-1.0
// Planners in threads of their own, so that a long job neither holds up the others nor lasts for ever: what takes longer
// than the limit is ended with its thread, and a new one takes its place.
import { Worker } from 'node:worker_threads';

export class Busy extends Error {}
export class TooLong extends Error {}

export class PlannerPool {
  #places = [];
  #waiting = [];

  constructor({ library, threads, limit_ms, queue }) {
    Object.assign(this, { library, limit_ms, queue });
    for (let i = 0; i < threads; ++i) this.#places.push(this.#started());
  }

  /** A planner's answer to a question of `questions` about what came in: {answer} as JSON text, or {problems}. */
  ask(question, body) {
    if (this.#waiting.length >= this.queue) throw new Busy('too many jobs wait');
    return new Promise((done, failed) => {
      this.#waiting.push({ asked: { question, body }, done, failed });
      this.#next();
    });
  }

  async close() {
    this.closed = true;
    await Promise.all(this.#places.map((place) => place.worker.terminate()));
  }

  #started() {
    const place = { worker: new Worker(new URL('planner.mjs', import.meta.url), { workerData: { library: this.library } }), task: null };
    place.worker.on('message', (answer) => this.#finish(place, (task) => task.done(answer)));
    place.worker.on('error', (error) => this.#replace(place, error));
    return place;
  }

  #next() {
    const place = this.#places.find((p) => !p.task);
    if (!place || !this.#waiting.length) return;
    place.task = this.#waiting.shift();
    place.timer = setTimeout(() => this.#replace(place, new TooLong(`a job takes ${this.limit_ms} ms at most`)), this.limit_ms);
    place.worker.postMessage(place.task.asked);
  }

  #finish(place, tell) {
    clearTimeout(place.timer);
    const { task } = place;
    place.task = null;
    if (task) tell(task);
    this.#next();
  }

  #replace(place, error) {
    const at = this.#places.indexOf(place);
    if (at < 0 || this.closed) return;
    place.worker.terminate();
    this.#places[at] = this.#started();
    this.#finish(place, (task) => task.failed(error));
  }
}
