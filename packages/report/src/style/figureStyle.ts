import { heightStep } from '../figureHeight.js';

const tallest = 1600;

/** Room for a picture of every height before it is drawn, so that nothing jumps. */
const heights = Array.from({ length: tallest / heightStep }, (_, index) => {
  const height = (index + 1) * heightStep;
  return `.h${height}{min-height:${height}px}`;
}).join('');

/** Pictures and what belongs to them. */
export const figureStyle: string = `figure{min-width:0}
figcaption{font-weight:650;line-height:1.35}
.plot{width:100%;min-width:0;overflow:hidden;touch-action:pan-y;position:relative;user-select:none;-webkit-user-select:none}
.plot svg.figure{display:block;max-width:100%;height:auto}
${heights}
svg.figure text{font-size:13px;stroke:none}
svg.figure .halo{paint-order:stroke;stroke:var(--page);stroke-width:4px;stroke-linejoin:round}
svg.figure .strong{font-weight:650}
.readout{display:flex;justify-content:space-between;align-items:flex-start;gap:var(--gap);min-height:1.5rem;font-size:var(--small);color:var(--muted)}
.readout b{color:var(--text)}
.readout button{min-height:0;padding:0 .5rem;flex:none}
.no-figure p{color:var(--muted);border:1px dashed var(--rule);padding:.6rem .8rem;margin-top:.35rem}
.key{list-style:none;padding:0;margin:.25rem 0 .1rem;display:flex;flex-wrap:wrap;gap:.1rem 1.1rem;font-size:var(--small)}
.key li,.setup-key{display:flex;align-items:center;gap:.45rem;min-width:0;text-align:left}
.setup-key{border:0;background:none;padding:.1rem .2rem;min-height:1.6rem}
.setup-key[aria-pressed=true]{background:none;color:var(--text)}
.setup-key[aria-pressed=false]{color:var(--muted);text-decoration:line-through}
.swatch{flex:none;overflow:visible;fill:var(--role);vertical-align:middle}
.swatch-open{fill:var(--page);stroke:var(--role);stroke-width:1.6}
.swatch-line{stroke:var(--role);stroke-width:2}
.swatch-band{fill:var(--role);fill-opacity:.18;stroke:var(--role);stroke-opacity:.6}
.swatch-hatch{stroke:var(--role);stroke-width:1;fill:none}
.bar-mark{fill:var(--muted)}
.spark{display:block;margin-left:auto;max-width:100%}
.cursor-line{stroke:var(--text);stroke-width:1;stroke-dasharray:3 3;pointer-events:none}
.cursor-dot{fill:var(--page);stroke:var(--text);stroke-width:1.6;pointer-events:none}
.chosen-range{fill:var(--link);fill-opacity:.18;pointer-events:none}
.viewer-readout{display:flex;flex-wrap:wrap;gap:.1rem 1.2rem;font-size:var(--small);min-height:2.9em}
.viewer-readout div{display:flex;gap:.4rem}
.viewer-readout dt{color:var(--muted)}
.viewer-readout dd{font-weight:600}
`;
