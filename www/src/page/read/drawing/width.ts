import { useLayoutEffect, useRef, useState } from 'preact/hooks';

/** What a sheet of A4 or Letter has between the margins of the print style, in CSS pixels. */
const PAPER = 680;

/** The width that an element has now, in whole pixels, so that a drawing can be made for it; while
 * the page is printed, that of the paper, which no element has before it is too late. */
export function useWidth<E extends HTMLElement>() {
  const element = useRef<E>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const observed = element.current;
    if (observed === null) return undefined;
    let printing = false;
    const measure = () => setWidth(printing ? PAPER : observed.clientWidth);
    const print = ({ type }: Event) => {
      printing = type === 'beforeprint';
      measure();
    };
    measure();
    const observer = new ResizeObserver(measure);
    observer.observe(observed);
    addEventListener('beforeprint', print);
    addEventListener('afterprint', print);
    return () => {
      observer.disconnect();
      removeEventListener('beforeprint', print);
      removeEventListener('afterprint', print);
    };
  }, []);
  return [element, width] as const;
}
