import type { UnitSystem } from '@pullproof/figures';
import type { Drawing } from '../plot/drawing.js';
import type { ViewerData } from '../viewerData.js';

/** Drawings by the name of their figure. */
export type Drawings = { [id: string]: Drawing };

/** What the page holds at once. */
export interface FirstData {
  readonly units: UnitSystem;
  readonly figures: Drawings;
}

/** What it holds packed. */
export interface MoreData {
  readonly figures: Drawings;
  readonly other: { readonly units: UnitSystem; readonly body: string; readonly figures: Drawings } | null;
  readonly viewer: ViewerData | null;
}

export function firstData(): FirstData {
  return JSON.parse(document.getElementById('report-data')!.textContent!) as FirstData;
}

/** Unpacks the rest of the data. */
export async function moreData(): Promise<MoreData> {
  const block = document.getElementById('more-data')!;
  const text = block.textContent!;
  if (block.dataset.packed !== 'yes') return JSON.parse(text) as MoreData;
  if (typeof DecompressionStream === 'undefined') throw new Error('this browser is too old to unpack them');
  const letters = atob(text);
  const bytes = new Uint8Array(letters.length);
  for (let index = 0; index < letters.length; index += 1) bytes[index] = letters.charCodeAt(index);
  const stream = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('deflate'));
  return JSON.parse(await new Response(stream).text()) as MoreData;
}
