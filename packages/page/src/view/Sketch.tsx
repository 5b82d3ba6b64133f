import type { JSX } from 'preact';
import type { Sketch as Line } from '../worker/messages.js';

/** Lines drawn small, side by side or over each other; said in words by `label`. */
export function Sketch({
  lines,
  label,
  across,
}: {
  readonly lines: readonly Line[];
  readonly label: string;
  readonly across: boolean;
}): JSX.Element | null {
  const drawn = lines.filter((line) => line.length > 1);
  if (drawn.length === 0) return null;
  const width = across ? 100 / drawn.length : 100;
  return (
    <svg class="sketch" viewBox="-1 -1 102 32" preserveAspectRatio="none" role="img" aria-label={label}>
      {drawn.map((line, index) => (
        <polyline
          key={`${index}`}
          points={line
            .map(([x, y]) => `${((across ? index * width : 0) + x * width * (across ? 0.86 : 1)).toFixed(1)},${(30 - 30 * y).toFixed(1)}`)
            .join(' ')}
        />
      ))}
    </svg>
  );
}
