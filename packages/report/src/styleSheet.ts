import { palette, type Theme } from '@pullproof/figures';

const variables = (theme: Theme): string =>
  Object.entries(palette[theme])
    .map(([role, colour]) => `--${role}:${colour};`)
    .join('');

const roles = Object.keys(palette.light)
  .map((role) => `.role-${role}{--role:var(--${role})}`)
  .join('');

/** The report's one style sheet. Colours come from the palette of the figures. */
export function styleSheet(): string {
  return `:root{color-scheme:light dark;${variables('light')}}
@media screen and (prefers-color-scheme:dark){:root{${variables('dark')}}}
${roles}
*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;scroll-padding-top:1rem}
body{margin:0 auto;max-width:74rem;padding:1rem 1.25rem 4rem;background:var(--page);color:var(--text);font:1rem/1.5 system-ui,-apple-system,"Segoe UI",Roboto,"Noto Sans","DejaVu Sans",sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:anywhere}
h1,h2,h3,p,ul,ol,figure,table{margin:0}
h1{font-size:1rem;font-weight:600}
h2{font-size:1.05rem;font-weight:650;line-height:1.3}
h3{font-size:.95rem;font-weight:650;margin-top:1.1rem}
a{color:var(--link)}
:focus-visible{outline:2px solid var(--link);outline-offset:2px}
.for-reader{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.skip{position:absolute;left:-100vw}
.skip:focus{position:static}
.muted,.standing{color:var(--muted)}
.standing{font-size:.85em}
code{font:.86em/1.4 ui-monospace,"SF Mono",Menlo,Consolas,"DejaVu Sans Mono",monospace}
header{display:flex;flex-wrap:wrap;gap:0 1rem;justify-content:space-between;border-bottom:1px solid var(--rule);padding-bottom:.4rem;margin-bottom:1rem}
header p{color:var(--muted);font-size:.85rem}
.first{display:grid;gap:1.1rem 2.2rem;grid-template-columns:minmax(0,1fr)}
.first h2{font-size:.82rem;color:var(--muted);font-weight:600;margin-bottom:.3rem}
.answer+.answer{margin-top:.9rem;padding-top:.9rem;border-top:1px solid var(--rule)}
.pair{font-size:.9rem}
.sentence{font-size:1.55rem;line-height:1.25;font-weight:680;letter-spacing:-.008em}
.sentence svg{width:.74em;height:.74em;fill:var(--role);margin-right:.35em}
.sentence .verdict{color:var(--role)}
.rest{font-size:1.02rem;margin-top:.15rem}
.several .sentence{font-size:1.15rem}
.line{border:1px solid var(--rule);border-left:5px solid var(--role);padding:.5rem .75rem}
.line>p{font-weight:500}
.line.stop>p{font-weight:650}
.line.stop{background:var(--alarm);border-color:var(--alarm);color:var(--page)}
.line.unmeasured{border-style:dashed;border-left-style:dashed}
.line ul{list-style:none;padding:0;margin-top:.35rem;font-size:.88rem}
.line li+li{margin-top:.1rem}
.line li b{font-weight:600}
.small{font-size:.9rem}
.changed+.small{margin-top:.3rem}
#changed>p{margin-top:.4rem}
#changed h3{margin-top:.6rem;font-size:.9rem}
#changed div h3{margin-top:0}
#changed div+div{margin-top:.7rem}
.columns th[scope=row]{min-width:8.5rem}
.changed{list-style:none;padding:0;font-size:.93rem}
.changed li{padding:.3rem 0;border-top:1px solid var(--grid)}
.changed li:first-child{border-top:0;padding-top:0}
.next{padding-left:1.3rem}
.next li{margin:.15rem 0}
nav{border-block:1px solid var(--rule);padding:.45rem 0;margin:1.6rem 0 0;font-size:.88rem}
nav ul{list-style:none;display:flex;flex-wrap:wrap;gap:.15rem 1.1rem;padding:0}
nav a{display:inline-block;padding:.15rem 0}
.section{padding-top:2rem}
.section>h2{border-bottom:1px solid var(--rule);padding-bottom:.3rem;margin-bottom:.8rem}
.section>*+*{margin-top:.7rem}
.side-by-side{display:grid;grid-template-columns:minmax(0,1fr);gap:1.4rem 2rem}
figure{min-width:0}
figcaption{font-size:.92rem;font-weight:600;line-height:1.35}
.figure-number{color:var(--muted);font-weight:500}
.plot{width:100%;min-width:0;overflow:hidden}
.no-figure p{color:var(--muted);border:1px dashed var(--rule);padding:.7rem .85rem;margin-top:.35rem}
.key{list-style:none;padding:0;margin:.25rem 0 .1rem;display:flex;flex-wrap:wrap;gap:.1rem 1.1rem;font-size:.85rem}
.key li{display:flex;align-items:center;gap:.45rem;min-width:0}
.key svg{flex:none}
.swatch{overflow:visible;fill:var(--role)}
.swatch-open{fill:var(--page);stroke:var(--role);stroke-width:1.6}
.swatch-line{stroke:var(--role);stroke-width:2}
.swatch-band{fill:var(--role);fill-opacity:.18;stroke:var(--role);stroke-opacity:.6}
.swatch-hatch{stroke:var(--role);stroke-width:1;fill:none}
details{font-size:.9rem}
summary{cursor:pointer;color:var(--link);width:fit-content;padding:.15rem 0}
details p{margin:.3rem 0 .5rem;max-width:70ch}
.scroll{overflow-x:auto;overflow-wrap:normal;background:linear-gradient(to right,var(--page) 40%,transparent) 0 0/2.5rem 100% local,linear-gradient(to left,var(--page) 40%,transparent) 100% 0/2.5rem 100% local,linear-gradient(to right,var(--muted),transparent) 0 0/.9rem 100%,linear-gradient(to left,var(--muted),transparent) 100% 0/.9rem 100%;background-repeat:no-repeat}
details .scroll{max-height:30rem;overflow-y:auto}
.scroll th[scope=row]{position:sticky;left:0;background:var(--page)}
table{border-collapse:collapse;font-size:.88rem;line-height:1.4}
th,td{text-align:left;vertical-align:top;padding:.22rem 1.1rem .22rem 0;font-weight:400;max-width:34rem}
td,th[scope=row]{overflow-wrap:break-word}
th[scope=row]{min-width:7.5rem}
thead th{font-weight:600;border-bottom:1px solid var(--axis);vertical-align:bottom}
tbody tr+tr>*{border-top:1px solid var(--grid)}
.number{text-align:right;white-space:nowrap}
td.number,th.number{padding-right:1.1rem}
th[scope=row].number{font-weight:400}
.with-sum tbody tr:last-child>*{border-top-color:var(--axis);font-weight:600}
.columns table{font-size:.83rem}
.columns td,.columns thead th{min-width:6.7rem;padding-right:.5rem}
.findings{list-style:none;padding:0;columns:26rem 2;column-gap:2rem}
.findings>li{break-inside:avoid}
.findings>li{padding:.5rem 0;border-top:1px solid var(--grid)}
.findings p+p{margin-top:.1rem}
.where{color:var(--muted);font-size:.86rem}
.severity{font-weight:650}
.bar{fill:var(--muted)}
.plain{padding-left:1.2rem;max-width:75ch}
.plain li{margin:.25rem 0}
.causes{padding-left:1.6rem}
.causes>li{margin-top:.8rem;max-width:95ch;break-inside:avoid}
.causes .plain{max-width:none}
.hash{font-size:.8rem;overflow-wrap:anywhere}
@media (min-width:62rem){
.first.single{grid-template-columns:minmax(0,5fr) minmax(0,8fr);grid-template-areas:"answer answer" "warning figure" "changed figure" "next next";grid-template-rows:auto auto 1fr auto}
.first.single>#answer{grid-area:answer}.first.single>#warning{grid-area:warning}.first.single>#changed{grid-area:changed}.first.single>#difference{grid-area:figure}.first.single>#next{grid-area:next}
.side-by-side{grid-template-columns:minmax(0,1fr) minmax(0,1fr)}
.first.several>#answer,.first.several>#changed,.first.several>#difference>.side-by-side{display:grid;grid-template-columns:repeat(auto-fit,minmax(20rem,1fr));gap:1rem 2rem}
.first.several>#changed>h2,.first.several>#changed>p{grid-column:1/-1;margin:0}
.first.several>#changed{gap:.3rem 2rem}
.first.several>#changed>div{margin:0}
.first.several .answer{margin:0;padding:0;border:0}
}
@media screen and (max-width:62rem){
.stack td:not(.number){min-width:8rem}
.stack td:not(.number):last-child{min-width:12rem}
}
@media screen and (max-width:30rem){
.stack{background:none}
.stack thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.stack table,.stack tbody,.stack tr,.stack th,.stack td{display:block;max-width:none}
.stack tr{padding:.35rem 0}
.stack tr+tr{border-top:1px solid var(--grid)}
.stack tr>th[scope=row]{position:static;font-weight:600;text-align:left;padding:0}
.stack tr+tr>*{border-top:0}
.stack td,.stack td.number{text-align:left;white-space:normal;padding:0}
.stack td[data-head]::before{content:attr(data-head) ": ";color:var(--muted)}
.columns table{font-size:.78rem}
.columns th[scope=row]{width:7rem;min-width:7rem;overflow-wrap:anywhere}
.columns td,.columns thead th{min-width:7.6rem;scroll-snap-align:start}
.columns{scroll-snap-type:x mandatory;scroll-padding-left:7rem}
.columns::before{content:"Scroll sideways for the other runs.";position:sticky;left:0;color:var(--muted);font-size:.85rem}
}
@media (max-width:40rem){
body{padding:.75rem .9rem 3rem}
.sentence{font-size:1.3rem}
header p,#changed .why{display:none}
header{margin-bottom:.7rem}
.first{gap:.9rem}
}
@media print{
@page{margin:14mm}
body{max-width:none;padding:0;font-size:10pt}
nav,.skip,details,.no-print{display:none}
.line.stop{background:none;color:var(--text);border:2px solid var(--alarm);border-left-width:6px}
.scroll{overflow:visible;max-height:none;background:none}
.side-by-side,.first.single{display:block}
.side-by-side>*+*,.first>*+*{margin-top:10pt}
figure,.answer,.line,.findings>li,tr,.columns{break-inside:avoid}
h2,h3,figcaption{break-after:avoid}
.section{padding-top:14pt}
table{font-size:8.5pt}
.scroll th,.scroll td{overflow-wrap:anywhere}
.scroll th,.scroll td,.columns thead th{min-width:44pt;padding-right:7pt}
.wide .number{white-space:normal}
.columns table{font-size:7.5pt}
.columns th[scope=row]{min-width:58pt}
}
`;
}
