/** Markup of a picture is made of words that are written here and numbers; text goes through `inert`. */
export interface Paint {
  readonly role: string;
  readonly alpha: number;
}

/** `role:gain/0.2` as a role of the palette and how much of it; null for anything else. */
function paintOf(colour: string | undefined): Paint | null {
  const match = /^role:([a-z0-9]+)(?:\/([0-9.]+))?$/i.exec(colour ?? '');
  return match === null ? null : { role: match[1]!, alpha: match[2] === undefined ? 1 : Number(match[2]) };
}

/** Attributes of a line in a colour of the palette, which the style sheet gives by class. */
export function stroke(colour: string | undefined, width: number, dash?: string): string {
  const paint = paintOf(colour);
  if (paint === null || paint.alpha === 0 || width === 0) return '';
  const dashes = dash === undefined || dash === 'solid' ? '' : ` stroke-dasharray="${dash.replace(/px/g, '').replace(/[^0-9,.]/g, '')}"`;
  const alpha = paint.alpha === 1 ? '' : ` stroke-opacity="${paint.alpha}"`;
  return ` class="s-${paint.role}" stroke-width="${width}"${alpha}${dashes}`;
}

/** Attributes of an area in a colour of the palette. */
export function fill(colour: string | undefined): string {
  const paint = paintOf(colour);
  if (paint === null || paint.alpha === 0) return ' fill="none"';
  return ` class="f-${paint.role}"${paint.alpha === 1 ? '' : ` fill-opacity="${paint.alpha}"`}`;
}

/** A px number: tenths are finer than any screen. */
export function px(value: number): string {
  return String(Math.round(value * 10) / 10);
}

const entities: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' };

/** Text that may stand in markup. The figures have made it plain already; here it becomes inert whatever they did. */
export function inert(text: string): string {
  return text.replace(/[&<>"]/g, (letter) => entities[letter]!);
}

/** A text with its foot at a place. */
export function textAt(
  x: number,
  y: number,
  text: string,
  options: {
    readonly role?: string;
    readonly anchor?: 'start' | 'middle' | 'end';
    readonly halo?: boolean;
    readonly strong?: boolean;
  } = {},
): string {
  const anchor = options.anchor === undefined || options.anchor === 'start' ? '' : ` text-anchor="${options.anchor}"`;
  const classes = [
    `f-${options.role ?? 'text'}`,
    ...(options.halo === true ? ['halo'] : []),
    ...(options.strong === true ? ['strong'] : []),
  ];
  return `<text x="${px(x)}" y="${px(y)}" class="${classes.join(' ')}"${anchor}>${inert(text)}</text>`;
}
