import { wrapped } from './layout.js';
import type { Style } from './style.js';

/** What stands below every text that asks for more pulls. The report says the same words first among its cautions; a test holds the two together. */
export const pullCaution: string =
  'Full-throttle pulls belong on a closed course or a dynamometer, never on a public road. Local law applies.';

/** The caution as lines. */
export function pullCautionLines(style: Style, indent: string = ''): string[] {
  return wrapped(pullCaution, style.width, indent);
}
