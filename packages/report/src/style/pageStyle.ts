/** Words, lists and topics. Sizes, spaces and colours by their names. */
export const pageStyle = `*{box-sizing:border-box}
html{-webkit-text-size-adjust:100%;scroll-padding-top:var(--space)}
body{margin:0 auto;max-width:var(--page-width);padding:.75rem 1.25rem 3rem;background:var(--page);color:var(--text);font:var(--body)/1.45 system-ui,-apple-system,"Segoe UI",Roboto,"Noto Sans","DejaVu Sans",sans-serif;font-variant-numeric:tabular-nums;overflow-wrap:anywhere}
h1,h2,h3,p,ul,ol,dl,dd,figure,table{margin:0}
h1{font-size:var(--body);font-weight:650}
h2{font-size:var(--large);font-weight:650;line-height:1.3}
h3{font-size:var(--body);font-weight:650}
a{color:var(--link)}
:focus-visible{outline:2px solid var(--link);outline-offset:2px}
[hidden]{display:none!important}
.for-reader{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%);white-space:nowrap}
.skip{position:absolute;left:-100vw}
.skip:focus{position:static}
.muted,.standing{color:var(--muted)}
.small,.standing{font-size:var(--small)}
.nowrap{white-space:nowrap}
code{font:.86em/1.4 ui-monospace,"SF Mono",Menlo,Consolas,"DejaVu Sans Mono",monospace}
button,select{font:inherit;font-size:var(--small);color:var(--text);background:var(--panel);border:1px solid var(--axis);border-radius:.25rem;padding:.25rem .65rem;min-height:2rem;cursor:pointer}
button[aria-pressed=true]{background:var(--text);color:var(--page);border-color:var(--text)}
select{max-width:100%}
[role=group]{display:inline-flex;flex:none}
[role=group] button{white-space:nowrap}
[role=group] button{border-radius:0}
[role=group] button:first-child{border-radius:.25rem 0 0 .25rem}
[role=group] button:last-child{border-radius:0 .25rem .25rem 0;margin-left:-1px}
.row{display:flex;flex-wrap:wrap;gap:var(--gap);align-items:center;justify-content:space-between}
.bar{display:flex;gap:var(--gap)}
header{display:flex;gap:var(--space);justify-content:space-between;align-items:flex-start;margin-bottom:.75rem}
header p{font-size:var(--small)}
.strip{list-style:none;padding:0;margin-bottom:.75rem}
.strip li{border-left:.3rem solid var(--loss);padding:.2rem .6rem;background:var(--panel);font-size:var(--small)}
.strip li+li{margin-top:.25rem}
.strip a{color:inherit}
.strip .stop{border-color:var(--alarm);background:var(--alarm);color:var(--page);font-weight:650;font-size:var(--body)}
.answer{margin-bottom:var(--gap)}
.sentence{font-size:var(--answer);line-height:1.25;font-weight:650;letter-spacing:-.006em}
.verdict{color:var(--role);font-weight:650;white-space:nowrap}
.sign{width:.72em;height:.72em;fill:var(--role);margin-right:.35em}
.rest{margin-top:.15rem}
.verdicts{width:100%;max-width:62rem;margin-bottom:var(--gap)}
.verdicts caption{text-align:left;font-size:var(--small);color:var(--muted);padding-bottom:.15rem}
.verdicts th[scope=row]{font-weight:650}
.verdicts td,.verdicts th{padding-block:.35rem;vertical-align:middle}
.verdicts td:last-child{padding-right:0;text-align:right}
.choice{margin-bottom:.25rem;font-size:var(--small);color:var(--muted)}
.pair-panel{display:grid;grid-template-columns:minmax(0,1fr);gap:.75rem 2rem}
.why h3,#next h2{font-size:var(--body);margin-bottom:.2rem}
.changed{list-style:none;padding:0;font-size:var(--small)}
.changed li{padding:.15rem 0}
#answer>.scroll,#answer>p{margin-bottom:.75rem}
#next{margin-top:var(--space)}
.next{padding-left:1.3rem}
.next li{margin:.15rem 0}
.below{margin-top:var(--room)}
.contents{display:none}
#topics>.row{border-bottom:2px solid var(--text);padding-bottom:.35rem}
.topic{border-bottom:1px solid var(--rule)}
.topic>summary{display:grid;grid-template-columns:minmax(0,1fr) auto;gap:0 .75rem;padding:.5rem 0;cursor:pointer;list-style:none;align-items:baseline}
.topic>summary::-webkit-details-marker{display:none}
.topic-title{font-weight:650}
.topic-title::before{content:"";display:inline-block;width:.45em;height:.45em;margin:0 .5em .1em .1em;border:solid var(--muted);border-width:0 .13em .13em 0;transform:rotate(-45deg);transition:transform .12s}
.topic[open]>summary .topic-title::before{transform:rotate(45deg)}
.topic>summary:hover .topic-title{text-decoration:underline}
.status{font-size:var(--small);color:var(--muted);text-align:right}
.state-look .status{color:var(--loss);font-weight:600}
.state-stop .status{color:var(--alarm);font-weight:700}
.topic-sentence{grid-column:1/-1;padding-left:1.05em;font-size:var(--small);color:var(--muted)}
.topic-body{padding:.25rem 0 var(--room) 1.05rem}
.topic-body>*+*{margin-top:.8rem}
.topic-body h3{margin-top:1.1rem}
.side-by-side{display:grid;grid-template-columns:minmax(0,1fr);gap:1.2rem 2rem}
.line{border-left:.3rem solid var(--role);padding:.2rem .6rem;background:var(--panel)}
details.numbers,.topic-body details{font-size:var(--small)}
summary{cursor:pointer}
.topic-body summary,#next summary{color:var(--link);width:fit-content;padding:.15rem 0}
details.numbers p{margin:.3rem 0 .5rem;max-width:70ch}
.findings{list-style:none;padding:0;columns:26rem 2;column-gap:2rem}
.findings>li{break-inside:avoid;padding:.5rem 0;border-top:1px solid var(--grid)}
.where{color:var(--muted);font-size:var(--small)}
.severity,.tone{font-weight:650;color:var(--role)}
.plain{padding-left:1.2rem;max-width:75ch}
.plain li{margin:.25rem 0}
.causes{padding-left:1.6rem}
.causes>li{margin-top:.8rem;max-width:95ch}
.hash{font-size:.8rem;overflow-wrap:anywhere}
.scroll{overflow-x:auto;overflow-wrap:normal;max-width:100%}
details .scroll{max-height:32rem;overflow-y:auto}
table{border-collapse:collapse;font-size:var(--small);line-height:1.4}
th,td{text-align:left;vertical-align:top;padding:.22rem 1.1rem .22rem 0;font-weight:400;max-width:34rem}
td,th[scope=row]{overflow-wrap:break-word}
.scroll th[scope=row]{min-width:7.5rem}
thead th{font-weight:600;border-bottom:1px solid var(--axis);vertical-align:bottom}
tbody tr+tr>*{border-top:1px solid var(--grid)}
.number{text-align:right;white-space:nowrap}
.with-sum tbody tr:last-child>*{border-top-color:var(--axis);font-weight:600}
.columns td,.columns thead th{min-width:6.7rem;padding-right:.5rem}
.pull-list{max-height:15rem;overflow-y:auto}
.pull-list thead th{position:sticky;top:0;background:var(--page);z-index:1}
.pull-list .tick{padding-right:.6rem}
.pull-list input{width:1.15rem;height:1.15rem;margin:.1rem 0 0}
.left-out{color:var(--muted)}
.viewer-bar{margin:.75rem 0 .25rem}
.paper-only{display:none}
@media (min-width:62rem){
.several .verdicts th[scope=row]{width:17rem}
#answer{display:grid;grid-template-columns:minmax(0,2fr) minmax(16rem,1fr);grid-template-rows:auto auto 1fr;gap:0 2.5rem}
#answer>*{grid-column:1/-1;min-width:0}
#answer>.pair-panel{display:contents}
#answer>.pair-panel>:first-child{grid-column:1;grid-row:span 2;min-width:0}
#answer>.pair-panel>.why,#answer>.pair-panel~#next{grid-column:2}
.side-by-side{grid-template-columns:minmax(0,1fr) minmax(0,1fr)}
.below{display:grid;grid-template-columns:11.5rem minmax(0,1fr);gap:2rem}
.contents{display:block;position:sticky;top:1rem;align-self:start;font-size:var(--small)}
.contents ul{list-style:none;padding:0}
.contents a{display:block;padding:.15rem .5rem;border-left:2px solid var(--grid);text-decoration:none;color:var(--muted)}
.contents a[aria-current=true]{border-color:var(--text);color:var(--text);font-weight:600}
.topic>summary{grid-template-columns:14rem minmax(0,1fr) auto}
.topic-sentence{grid-column:2;grid-row:1;padding-left:0}
.status{grid-column:3}
}
@media (max-width:40rem){
body{padding:.6rem .9rem 2rem}
.sentence{font-size:1.25rem}
header p{display:none}
.verdicts tr{display:grid;grid-template-columns:minmax(0,1fr) auto;gap:0 .75rem;padding:.3rem 0}
.verdicts tr+tr{border-top:1px solid var(--grid)}
.verdicts tr+tr>*{border-top:0}
.verdicts td,.verdicts th{padding:0}
.verdicts td:nth-child(2){text-align:right}
.verdicts .spark{width:92px}
.stack thead{position:absolute;width:1px;height:1px;overflow:hidden;clip-path:inset(50%)}
.stack table,.stack tbody,.stack tr,.stack th,.stack td{display:block;max-width:none}
.stack tr{padding:.35rem 0}
.stack tr+tr{border-top:1px solid var(--grid)}
.stack tr>th[scope=row]{font-weight:600;padding:0}
.stack tr+tr>*{border-top:0}
.stack td,.stack td.number{text-align:left;white-space:normal;padding:0}
.stack td[data-head]::before{content:attr(data-head) ": ";color:var(--muted)}
.topic-body{padding-left:0}
}
@media (prefers-reduced-motion:reduce){*{transition:none!important;scroll-behavior:auto!important}}
`;
