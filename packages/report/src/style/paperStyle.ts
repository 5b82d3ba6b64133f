/** Paper: answer, figure, conditions and next steps on two pages at most; the rest where it was asked for. */
export const paperStyle = `@media print{
@page{margin:14mm}
body{max-width:none;padding:0;font-size:10pt}
header{margin-bottom:6pt}
.no-print,.skip,.readout,.contents,.pair-panel[hidden]{display:none!important}
.below{display:block}
body:not(.print-all) .below{display:none}
.paper-only{display:block;margin-top:12pt}
.paper-only table{width:100%}
.strip .stop{background:none;color:var(--text);border:2px solid var(--alarm);border-left-width:6px}
.strip li{background:none}
.strip a{text-decoration:none}
.pair-panel,.side-by-side{display:block}
.pair-panel>*+*,.side-by-side>*+*{margin-top:8pt}
.next{display:block}
#next details>summary{display:none}
.scroll{overflow:visible;max-height:none}
details .scroll,.pull-list{max-height:none;overflow:visible}
details.numbers{display:none}
figure,.answer,.findings>li,tr,.columns{break-inside:avoid}
h2,h3,figcaption{break-after:avoid}
table{font-size:8.5pt}
.scroll th,.scroll td{overflow-wrap:anywhere}
.scroll th,.scroll td,.columns thead th{min-width:44pt;padding-right:7pt}
.wide .number{white-space:normal}
.columns table{font-size:7.5pt}
.plot{min-height:0!important}
.plot svg.figure{width:100%}
}
`;
