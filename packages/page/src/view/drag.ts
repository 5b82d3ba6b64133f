/** Marks where a card may be let go: the place of a setup. */
export const dropAttribute = 'data-setup-place';

interface Handlers {
  readonly class: string;
  readonly onPointerDown: (down: PointerEvent) => void;
}

/**
 * Lets a card be moved by mouse, pen or finger: the same pointer events for all. The keyboard has the list of setups in the card.
 * @param name of what is moved, shown beside the pointer
 * @param onDrop told the place of the setup on which it was let go
 */
export function draggable(name: string, onDrop: (setup: number) => void): Handlers {
  return {
    class: 'handle',
    onPointerDown: (down) => {
      if (down.button !== 0 || (down.target as Element).closest('button,input,select,a') !== null) return;
      const handle = down.currentTarget as HTMLElement;
      const ghost = document.createElement('div');
      ghost.className = 'ghost';
      ghost.textContent = name;
      let over: Element | null = null;
      const placeAt = (x: number, y: number): Element | null => document.elementFromPoint(x, y)?.closest(`[${dropAttribute}]`) ?? null;
      const move = ({ clientX, clientY }: PointerEvent): void => {
        if (!ghost.isConnected && Math.hypot(clientX - down.clientX, clientY - down.clientY) > 6) {
          document.body.append(ghost);
          document.body.classList.add('dragging');
        }
        ghost.style.translate = `${clientX + 10}px ${clientY + 10}px`;
        over?.classList.remove('over');
        over = placeAt(clientX, clientY);
        over?.classList.add('over');
      };
      const end = (up: PointerEvent): void => {
        handle.removeEventListener('pointermove', move);
        handle.removeEventListener('pointerup', end);
        handle.removeEventListener('pointercancel', end);
        over?.classList.remove('over');
        document.body.classList.remove('dragging');
        if (!ghost.isConnected) return;
        ghost.remove();
        const place = up.type === 'pointerup' ? placeAt(up.clientX, up.clientY) : null;
        if (place !== null) onDrop(Number(place.getAttribute(dropAttribute)));
      };
      handle.setPointerCapture(down.pointerId);
      handle.addEventListener('pointermove', move);
      handle.addEventListener('pointerup', end);
      handle.addEventListener('pointercancel', end);
    },
  };
}
