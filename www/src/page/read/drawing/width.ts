import { useLayoutEffect, useRef, useState } from 'preact/hooks';

/** The width that an element has now, in whole pixels, so that a drawing can be made for it. */
export function useWidth<E extends HTMLElement>() {
  const element = useRef<E>(null);
  const [width, setWidth] = useState(0);
  useLayoutEffect(() => {
    const observed = element.current;
    if (observed === null) return undefined;
    setWidth(observed.clientWidth);
    const observer = new ResizeObserver(() => setWidth(observed.clientWidth));
    observer.observe(observed);
    return () => observer.disconnect();
  }, []);
  return [element, width] as const;
}
