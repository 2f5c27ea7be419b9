import { text } from '../../../text/en';

/** What is handed over to the edit. */
export function HandOver() {
  return (
    <section class="hand-over">
      <h2>{text.shoot.handOver}</h2>
      <div class="actions">
        <button type="button" onClick={() => print()}>
          {text.shoot.print}
        </button>
      </div>
    </section>
  );
}
