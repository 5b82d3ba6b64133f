import type { Plot } from './plot.js';

/** What a hand does to a plot. */
export interface Hands {
  readonly cursor: (plot: Plot, value: number | null) => void;
  /** Null shows everything again. */
  readonly range: (plot: Plot, range: readonly [number, number] | null) => void;
}

/** Least way of a drag that is meant as one, px. */
const leastDragPx = 6;
const zoomStep = 1.25;

let lastScroll = 0;
addEventListener('scroll', () => {
  lastScroll = performance.now();
});

/** Mouse, touch and keys of one plot: the cursor follows, a drag or two fingers or the wheel zoom, a double click and Escape show all. */
export function listen(plot: Plot, hands: Hands): void {
  const { place } = plot;
  const touches = new Map<number, number>();
  let dragFrom: { readonly x: number; readonly value: number } | null = null;
  let pinch: { readonly a: number; readonly b: number } | null = null;
  let lastMove = 0;
  const shown = (): readonly [number, number] => [plot.frame!.low, plot.frame!.high];

  place.addEventListener('pointerdown', (event) => {
    if (plot.frame === null) return;
    place.setPointerCapture(event.pointerId);
    if (event.pointerType === 'touch') {
      touches.set(event.pointerId, event.clientX);
      if (touches.size === 2) {
        const [a, b] = [...touches.values()] as [number, number];
        pinch = { a: plot.valueAt(a), b: plot.valueAt(b) };
      } else hands.cursor(plot, plot.valueAt(event.clientX));
    } else if (event.button === 0) dragFrom = { x: event.clientX, value: plot.valueAt(event.clientX) };
  });
  place.addEventListener('pointermove', (event) => {
    if (plot.frame === null) return;
    lastMove = performance.now();
    if (event.pointerType === 'touch' && touches.has(event.pointerId)) {
      touches.set(event.pointerId, event.clientX);
      if (pinch !== null && touches.size === 2) {
        hands.range(plot, pinched(pinch, [...touches.values()] as [number, number]));
        return;
      }
    }
    const value = plot.valueAt(event.clientX);
    if (dragFrom !== null && Math.abs(event.clientX - dragFrom.x) > leastDragPx) plot.showChosen(dragFrom.value, value);
    else hands.cursor(plot, value);
  });
  const end = (event: PointerEvent): void => {
    touches.delete(event.pointerId);
    if (touches.size < 2) pinch = null;
    const from = dragFrom;
    dragFrom = null;
    if (from === null || event.type !== 'pointerup' || Math.abs(event.clientX - from.x) <= leastDragPx) return;
    const to = plot.valueAt(event.clientX);
    hands.range(plot, from.value < to ? [from.value, to] : [to, from.value]);
  };
  place.addEventListener('pointerup', end);
  place.addEventListener('pointercancel', end);
  place.addEventListener('pointerleave', (event) => {
    if (event.pointerType === 'mouse' && dragFrom === null) hands.cursor(plot, null);
  });
  place.addEventListener('dblclick', () => hands.range(plot, null));
  place.addEventListener(
    'wheel',
    (event) => {
      // A page that is scrolled past a figure must not get stuck in it: the wheel zooms where the pointer was moved to, not where the page moved the figure.
      const isMeant = event.ctrlKey || event.shiftKey || lastMove > lastScroll;
      if (plot.frame === null || !isMeant) return;
      const [low, high] = shown();
      const isAll = low <= plot.whole[0] && high >= plot.whole[1];
      const way = event.deltaY || event.deltaX;
      if (way > 0 && isAll) return;
      event.preventDefault();
      hands.range(plot, around(plot, plot.valueAt(event.clientX), way > 0 ? zoomStep : 1 / zoomStep));
    },
    { passive: false },
  );
  place.addEventListener('keydown', (event) => {
    if (plot.frame === null || event.altKey || event.metaKey || event.ctrlKey) return;
    if (onKey(plot, event.key, event.shiftKey, hands)) event.preventDefault();
  });

  /** The range at which both fingers stand on the values that they took. */
  function pinched(start: { readonly a: number; readonly b: number }, [xa, xb]: readonly [number, number]): readonly [number, number] {
    const box = place.getBoundingClientRect();
    const { frame } = plot;
    const scale = frame!.width / Math.max(1, box.width);
    const [pa, pb] = [(xa - box.left) * scale, (xb - box.left) * scale];
    const perPx = (start.b - start.a) / (pb - pa || 1);
    if (!(perPx > 0)) return shown();
    return [start.a - (pa - frame!.left) * perPx, start.b + (frame!.right - pb) * perPx];
  }
}

function around(plot: Plot, value: number, factor: number): readonly [number, number] | null {
  const { low, high } = plot.frame!;
  const [from, to] = [value - (value - low) * factor, value + (high - value) * factor];
  return from <= plot.whole[0] && to >= plot.whole[1] ? null : [from, to];
}

function onKey(plot: Plot, key: string, shift: boolean, hands: Hands): boolean {
  const { low, high } = plot.frame!;
  const at = plot.cursor ?? (low + high) / 2;
  const step = (high - low) / 40;
  if (key === 'ArrowLeft' || key === 'ArrowRight') {
    const way = key === 'ArrowLeft' ? -1 : 1;
    if (shift) {
      const [from, to] = [low + way * 4 * step, high + way * 4 * step];
      if (from >= plot.whole[0] && to <= plot.whole[1]) hands.range(plot, [from, to]);
    } else hands.cursor(plot, Math.min(high, Math.max(low, at + (plot.cursor === null ? 0 : way * step))));
    return true;
  }
  if (key === 'Home' || key === 'End') hands.cursor(plot, key === 'Home' ? low : high);
  else if (key === '+' || key === '=') hands.range(plot, around(plot, at, 1 / zoomStep));
  else if (key === '-') hands.range(plot, around(plot, at, zoomStep));
  else if (key === 'Escape' || key === '0') hands.range(plot, null);
  else return false;
  return true;
}
