/** The width an element has, kept as it changes. */
import { useCallback, useState } from 'react';

export function useWidth<T extends HTMLElement>(): [
  ref: (element: T | null) => (() => void) | void,
  width: number,
] {
  const [width, setWidth] = useState(0);
  const ref = useCallback((element: T | null) => {
    if (!element) return undefined;
    const observer = new ResizeObserver(([entry]) => {
      if (entry) setWidth(Math.floor(entry.contentRect.width));
    });
    observer.observe(element);
    return () => observer.disconnect();
  }, []);
  return [ref, width];
}
