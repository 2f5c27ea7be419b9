// The pictures that the screen shows, one after the other.

/** The longest that a picture can be on its way, in milliseconds: a screen of 30 a second. */
const SLOWEST = 34;
/** So many pictures tell how fast the screen is. */
const LOOKED_AT = 20;

/** Calls `show` before every picture, with how many milliseconds it will be until that is seen: one
 * refresh after it is made, at the soonest. Gives what ends it. */
export function beforeEachPicture(show: (ahead: number) => void): () => void {
  let before = 0;
  let apart: number[] = [];
  const look = (now: number) => {
    if (before > 0) apart = [...apart, now - before].slice(-LOOKED_AT);
    before = now;
    request = requestAnimationFrame(look);
    show(Math.min(SLOWEST, ...apart));
  };
  let request = requestAnimationFrame(look);
  return () => cancelAnimationFrame(request);
}
