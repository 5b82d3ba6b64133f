import { palette, type Theme } from '@pullproof/figures';

const variables = (theme: Theme): string =>
  Object.entries(palette[theme])
    .map(([role, colour]) => `--${role}:${colour};`)
    .join('');

/** The page's one style sheet; colours come from the palette of the figures. */
export function styleSheet(): string {
  return `:root{color-scheme:light dark;--gap:1rem;${variables('light')}}
@media (prefers-color-scheme:dark){:root{${variables('dark')}}}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%}
body{margin:0 auto;max-width:100rem;padding:.75rem 1rem 3rem;background:var(--page);color:var(--text);font:1rem/1.5 system-ui,-apple-system,"Segoe UI",Roboto,"Noto Sans","DejaVu Sans",sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:anywhere}
h1,h2,h3,h4,p,ul,ol,figure{margin:0}
h1{font-size:1.05rem}
h2{font-size:1.05rem;margin-bottom:.4rem}
h4{font-size:.92rem;font-weight:650;min-width:0}
:focus-visible{outline:2px solid var(--link);outline-offset:2px}
.for-reader{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.muted{color:var(--muted);font-size:.9rem}
.top{display:flex;flex-wrap:wrap;gap:0 1rem;justify-content:space-between;border-bottom:1px solid var(--rule);padding-bottom:.4rem}
.top p{color:var(--muted);font-size:.9rem}
main>*{margin-top:1.1rem}
button,.button,select,input,textarea{font:inherit;color:inherit;background:var(--page);border:1px solid var(--axis);border-radius:.3rem;padding:.4rem .7rem;min-height:2.6rem;max-width:100%}
button,.button{cursor:pointer;display:inline-flex;align-items:center;background:var(--panel)}
button:hover,.button:hover{border-color:var(--link)}
button[aria-pressed=true]{border-color:var(--link);box-shadow:inset 0 0 0 1px var(--link)}
button.quiet{border-color:transparent;background:none;color:var(--link);padding:.2rem .4rem}
.button{position:relative;overflow:hidden}
.button input{position:absolute;inset:0;opacity:0;cursor:pointer;font-size:0}
.button:focus-within{outline:2px solid var(--link);outline-offset:2px}
.actions{display:flex;flex-wrap:wrap;gap:.5rem;align-items:center}
.chooser.first{border:2px dashed var(--axis);border-radius:.5rem;padding:1.6rem 1rem;text-align:center}
.chooser.first .actions{justify-content:center;margin:.9rem 0}
.chooser.first .button{background:var(--link);border-color:var(--link);color:var(--page);font-weight:600}
.lead{font-size:1.2rem;font-weight:600;line-height:1.3}
.dropping .chooser{border-color:var(--link);background:var(--panel)}
.notice,.progress{padding:.5rem .75rem;border-left:3px solid var(--link);background:var(--panel)}
.progress progress{vertical-align:middle;width:10rem;max-width:40vw;accent-color:var(--link)}
.problem{border-left:3px solid var(--alarm);padding:.3rem .7rem;background:var(--panel)}
.code{color:var(--muted);font-size:.82rem}
.setups{display:grid;gap:.8rem;grid-template-columns:repeat(auto-fill,minmax(min(22rem,100%),1fr))}
.setup{border:1px solid var(--rule);border-radius:.4rem;padding:.6rem;min-width:0}
.setup>header{display:flex;flex-wrap:wrap;gap:.3rem;justify-content:space-between;align-items:center;margin-bottom:.5rem}
.setup>header label{flex:1 1 12rem;display:flex;align-items:center;gap:.5rem;min-width:0}
.setup .name{font-weight:650;flex:1;min-width:0}
.setup.new{border-style:dashed;display:grid;place-items:center;min-height:4rem}
.setup.over{border-color:var(--link);box-shadow:0 0 0 2px var(--link)}
.cards{display:grid;gap:.6rem}
.card{border:1px solid var(--grid);border-radius:.3rem;background:var(--panel);padding:.5rem .6rem;min-width:0;font-size:.92rem}
.card>*+*{margin-top:.3rem}
.card>header{display:flex;gap:.5rem;justify-content:space-between;align-items:center}
.card .handle{cursor:grab;touch-action:none}
.card select,.card input{min-height:2.4rem;padding:.2rem .5rem}
.card>header h4{flex:1}
.card>header select{max-width:9rem}
.card ul{padding-left:1.1rem}
.card.refused{border-color:var(--alarm)}
.fold>summary{color:var(--muted);font-size:.9rem}
.ghost{position:fixed;inset:0 auto auto 0;z-index:9;pointer-events:none;background:var(--panel);border:1px solid var(--link);border-radius:.3rem;padding:.3rem .6rem}
.sketch{display:block;width:100%;height:2.6rem;overflow:visible}
.seen{display:grid;gap:.2rem .8rem;align-items:center}
@media (max-width:48rem){.setup.new{display:none}.dragging .setup.new{display:grid}.seen{grid-template-columns:2fr 3fr}.seen .sketch{height:1.8rem}.card{font-size:.86rem}}
.sketch polyline{fill:none;stroke:var(--setup1);stroke-width:1.5;vector-effect:non-scaling-stroke}
.unknown ul{list-style:none;padding:0}
.unknown li{padding:.5rem 0;border-top:1px solid var(--grid)}
.unknown button{padding:.2rem .5rem;min-height:2.2rem}
summary{cursor:pointer;padding:.3rem 0}
.answer-and-sharpen{display:grid;gap:1rem 2rem;grid-template-columns:minmax(0,1fr)}
@media (min-width:70rem){.answer-and-sharpen:has(aside){grid-template-columns:minmax(0,1fr) 21rem}}
.answer{position:relative}
.units{justify-content:flex-end;border:0;padding:0}
.units button{min-height:2.2rem;padding:.2rem .6rem}
@media (min-width:48rem){.answer>.units{position:absolute;right:0;top:0}}
.verdict{font-size:1.15rem;font-weight:650;line-height:1.35}
.verdict .pair{display:block;font-size:.85rem;font-weight:500;color:var(--muted)}
.verdict+.answer{position:relative}
.units{justify-content:flex-end;border:0;padding:0}
.units button{min-height:2.2rem;padding:.2rem .6rem}
@media (min-width:48rem){.answer>.units{position:absolute;right:0;top:0}}
.verdict{margin-top:.6rem}
.report{width:100%;border:0;display:block;margin-top:.8rem;color-scheme:light dark}
aside ol{list-style:none;padding:0}
aside li{padding:.5rem 0;border-top:1px solid var(--grid)}
.part{border-top:1px solid var(--rule)}
.part>summary{padding:.6rem 0;font-weight:600}
.part .part{margin-left:.6rem}
.fields{display:grid;gap:.7rem 1.2rem;grid-template-columns:repeat(auto-fill,minmax(min(17rem,100%),1fr));padding-bottom:.8rem}
fieldset{border:1px solid var(--grid);border-radius:.3rem;margin:0;padding:.4rem .6rem .6rem;min-width:0}
legend{font-weight:600;font-size:.9rem;padding:0 .3rem}
.field{display:grid;gap:.15rem;align-content:start}
.field label{font-weight:600;font-size:.9rem}
.field input,.field select,.field textarea{width:100%}
.field [aria-invalid=true]{border-color:var(--alarm);box-shadow:0 0 0 1px var(--alarm)}
.help{color:var(--muted);font-size:.82rem;line-height:1.35}
.help.wrong{color:var(--alarm)}
footer{margin-top:2rem;border-top:1px solid var(--rule);padding-top:.6rem;color:var(--muted);font-size:.85rem}
footer ul{padding-left:1.1rem}
@media (prefers-reduced-motion:no-preference){.setup{transition:box-shadow .12s}}
`;
}
