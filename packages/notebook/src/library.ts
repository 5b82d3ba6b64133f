import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { palette } from '@pullproof/figures';
import { jsonForScript } from '@pullproof/report';

/** Our style inside a notebook: it inherits colour and font from the page, so that it is right in light and dark. */
const style = `
.pullproof{font-size:14px;line-height:1.45;max-width:1000px;overflow-wrap:anywhere;font-variant-numeric:tabular-nums}
.pullproof p{margin:.3em 0}
.pullproof .caption,.pullproof caption{font-weight:600;text-align:left}
.pullproof caption{padding:.2em 0 .4em;text-align:left;color:inherit}
.pullproof .small{font-size:13px;opacity:.85}
.pullproof .key{list-style:none;padding:0;margin:.2em 0;display:flex;flex-wrap:wrap;gap:.1em 1.2em;font-size:13px}
.pullproof .key li{display:flex;align-items:center;gap:.5em;margin:0}
.pullproof .key svg{flex:none;width:32px;height:12px}
.pullproof .plot{width:100%;overflow:hidden}
.pullproof .swatch{overflow:visible;fill:var(--role)}
.pullproof .swatch-open{fill:none;stroke:var(--role);stroke-width:1.6}
.pullproof .swatch-line{stroke:var(--role);stroke-width:2}
.pullproof .swatch-band{fill:var(--role);fill-opacity:.18;stroke:var(--role);stroke-opacity:.6}
.pullproof .swatch-hatch{stroke:var(--role);stroke-width:1;fill:none}
${Object.keys(palette.light)
  .map((role) => `.pullproof .role-${role}{--role:var(--${role})}`)
  .join('')}
.pullproof.scroll,.pullproof .scroll{overflow-x:auto;overflow-wrap:normal}
.pullproof table{border-collapse:collapse;font-size:13px;margin:.2em 0;border:0;color:inherit;table-layout:auto}
.pullproof th,.pullproof td{text-align:left!important;vertical-align:top;padding:.25em 1.2em .25em 0;border:0;background:none;white-space:normal;max-width:34em;min-width:3em}
.pullproof td:first-child{min-width:9em}
.pullproof thead th{font-weight:600;border-bottom:1px solid rgba(128,128,128,.7);vertical-align:bottom}
.pullproof tbody tr{background:none!important}
.pullproof tbody tr+tr>*{border-top:1px solid rgba(128,128,128,.25)}
.pullproof .number{text-align:right!important;white-space:nowrap}
.pullproof .tight{white-space:nowrap}
.pullproof .answer{font-size:17px;font-weight:650;line-height:1.35;margin:.2em 0}
.pullproof .pair{margin:.8em 0 0;font-weight:400}
.pullproof .line{border:1px solid rgba(128,128,128,.6);border-left-width:5px;padding:.4em .7em;margin:.8em 0}
.pullproof .stop{border-color:#d63a3a;font-weight:650}
.pullproof ul,.pullproof ol{margin:.3em 0;padding-left:1.4em}
.pullproof .key{padding-left:0}
.pullproof details{margin:.2em 0}
.pullproof summary{cursor:pointer;width:fit-content}
`;

/** A script as it may stand inside a script element. */
function forScriptElement(script: string): string {
  return script.replace(/<\/script/gi, '<\\/script').replace(/<!--/g, '<\\!--');
}

/** The script that draws, from this package's own page folder. */
function drawScript(): string {
  return readFileSync(new URL('../dist/page/drawFigure.js', import.meta.url), 'utf8').replace(/^export \{\};?\s*$/m, '');
}

/** The plotting library, whole; it stands in the notebook once. */
function plottingScript(): string {
  return readFileSync(createRequire(import.meta.url).resolve('plotly.js-dist-min'), 'utf8');
}

/**
 * Style, plotting library and our script, to be put out once in a notebook. No network is asked for anything.
 *
 * Some pages load scripts through a loader that plotly would hand itself to instead of the page: it is kept out of sight.
 */
export function libraryMarkup(): string {
  const plotting = `if(!window.Plotly){(function(define,module,exports){${plottingScript()}\n}).call(window)}`;
  const draw = `window.pullproofPalette=${jsonForScript(palette)};(function(){${drawScript()}\n})()`;
  return `<style>${style}</style>\n<script>${forScriptElement(plotting)}</script>\n<script>${forScriptElement(draw)}</script>`;
}
