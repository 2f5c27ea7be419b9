import { useEffect, useState } from 'preact/hooks';
import { type Delivery, dropped } from './incoming';

/** Takes files that are dropped anywhere on the page; gives how many hover over it now. */
export function useDrop(take: (delivery: Delivery) => void): number {
  const [dragged, setDragged] = useState(0);
  useEffect(() => {
    const over = (event: DragEvent) => {
      const files = filesIn(event);
      if (files === 0) return;
      event.preventDefault();
      setDragged(files);
    };
    // Leaving towards another element of the page is no leaving.
    const leave = (event: DragEvent) => {
      if (event.relatedTarget === null) setDragged(0);
    };
    const drop = (event: DragEvent) => {
      if (filesIn(event) === 0 || event.dataTransfer === null) return;
      event.preventDefault();
      setDragged(0);
      void dropped(event.dataTransfer).then(take);
    };
    addEventListener('dragover', over);
    addEventListener('dragleave', leave);
    addEventListener('drop', drop);
    return () => {
      removeEventListener('dragover', over);
      removeEventListener('dragleave', leave);
      removeEventListener('drop', drop);
    };
  }, [take]);
  return dragged;
}

function filesIn(event: DragEvent): number {
  return [...(event.dataTransfer?.items ?? [])].filter(({ kind }) => kind === 'file').length;
}
