import type { Standing } from './standing.js';

/** An input that would narrow the margin, and by how much. */
export interface SharpenInput {
  /** Field of the trial that takes it, such as `car.weighed.mass` or `setups[0].air.temperature`. */
  readonly field: string;
  /** Fields of one group are entered together, and bring what is told together. */
  readonly group: string;
  /** For people, such as "car's weight on a scale". */
  readonly label: string;
  /** What is taken now; SI; null where no single value is. */
  readonly assumed: { readonly value: number | null; readonly spread: number | null; readonly unit: string };
  readonly standing: Standing;
  /** What it narrows: the margin of the difference, or that of the power itself. */
  readonly of: 'difference' | 'power';
  /** Half-widths of 95 % as shares of power, as it is and with the input entered; what could explain a difference counts in that of the difference. */
  readonly marginNow: number;
  readonly marginThen: number;
  /** True where no verdict can be given without it. */
  readonly decides: boolean;
  readonly sentence: string;
}
