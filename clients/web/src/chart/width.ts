import type { RefObject } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';

/** The width that a figure has, so that nothing in it is ever scaled. */
export function useWidth<T extends HTMLElement>(first: number): [RefObject<T | null>, number] {
  const element = useRef<T>(null);
  const [width, setWidth] = useState(first);
  useLayoutEffect(() => {
    const node = element.current;
    if (!node) return;
    const measure = () => setWidth(Math.max(200, Math.floor(node.clientWidth)));
    measure();
    const watch = new ResizeObserver(measure);
    watch.observe(node);
    return () => watch.disconnect();
  }, []);
  return [element, width];
}
