"""The debrief's style sheet: the house's paper and type, the night edition, the page on paper."""

from __future__ import annotations

_NIGHT = (
    "--ink-0:#efe9dc;--ink-1:#cfc9ba;--ink-2:#a09c8e;--ink-3:#77756b;--paper-0:#1d1a17;"
    "--paper-1:#26221e;--paper-2:#2f2a25;--line-0:#3d3730;--green:#8fbf7f;--ochre:#e0b354;"
    "--brick:#e08468"
)

STYLE = """
:root{--ink-0:#191b18;--ink-1:#40443c;--ink-2:#6a6e63;--ink-3:#9a9c8f;--paper-0:#f7f3e9;
--paper-1:#fffdf6;--paper-2:#ece6d7;--line-0:#d3ccb9;--green:#2f6b3a;--ochre:#8a5a00;
--brick:#a3371f;--print:"Iowan Old Style","Palatino Linotype",Palatino,"Noto Serif",Georgia,serif;
--desk:"Noto Sans","Segoe UI",system-ui,-apple-system,sans-serif}
@media (prefers-color-scheme:dark){:root:not([data-edition=day]){NIGHT}}
:root[data-edition=night]{NIGHT}
*{box-sizing:border-box;margin:0;padding:0}
html{background:var(--paper-0);-webkit-text-size-adjust:100%}
body{max-width:74rem;margin:0 auto;padding:0 2rem 3rem;color:var(--ink-0);
font:15px/1.45 var(--desk);font-variant-numeric:lining-nums tabular-nums}
.folio{display:flex;justify-content:space-between;gap:1rem;padding:.7rem 0 .3rem;color:var(--ink-2);
font:italic .9rem/1.3 var(--print)}
.folio a{color:var(--ink-2);font-weight:400;margin-right:1.2em}
.folio span:last-child{font-style:normal;font-variant-caps:all-small-caps;letter-spacing:.08em;
color:var(--ink-0);font-weight:600}
h1{border-top:1px solid var(--ink-0);border-bottom:4px double var(--ink-0);text-align:center;
padding:.16em 0 .21em;font:600 3.15rem/1.1 var(--print);letter-spacing:-.01em}
h1 span{padding:0 .18em}
.shirt{width:.62em;height:.62em;vertical-align:.02em;stroke:var(--ink-2);stroke-width:.7}
.standfirst{font:1.2rem/1.5 var(--print);text-align:center;max-width:46rem;margin:.9rem auto 1.2rem;
color:var(--ink-1);text-wrap:balance}
.findings{display:grid;grid-template-columns:repeat(3,minmax(0,1fr));
border-top:1px solid var(--line-0);border-bottom:1px solid var(--line-0)}
.findings article{padding:.9rem 1.5rem 1.1rem}
.findings article:first-child{padding-left:0}
.findings article:last-child{padding-right:0}
.findings article+article{border-left:1px solid var(--line-0)}
.findings .figure{font:600 2.3rem/1.1 var(--print);color:var(--brick)}
.findings h2{font:600 1.15rem/1.3 var(--print);border:0;padding:0;margin:.25rem 0 .2rem}
.findings p:last-child{color:var(--ink-1);font:1rem/1.45 var(--print)}
section{margin-top:1.9rem}
section.findings{margin-top:0}
h2{font:600 1.32rem/1.25 var(--print);border-bottom:1px solid var(--ink-0);padding-bottom:.22rem}
.lead{font:italic 1rem/1.45 var(--print);color:var(--ink-2);margin:.4rem 0 .5rem}
figure{margin-top:.5rem}
svg.plan{display:block;width:100%;height:auto}
.narrow{display:none}
.two{display:grid;grid-template-columns:minmax(0,1fr) minmax(0,1fr);gap:0 2.6rem;align-items:start}
.together{display:grid;grid-template-columns:repeat(4,minmax(0,1fr));gap:1rem 1.8rem;
margin-top:.3rem}
table{border-collapse:collapse;width:100%;margin-top:.25rem}
th{font:.88rem/1.3 var(--print);font-variant-caps:all-small-caps;letter-spacing:.05em;
color:var(--ink-2);text-align:left;font-weight:400;padding:.3rem .8rem .15rem 0;
vertical-align:bottom}
td{padding:.26rem .8rem .26rem 0;border-top:1px solid var(--line-0);vertical-align:baseline;
color:var(--ink-1)}
th:last-child,td:last-child{padding-right:0}
.n{text-align:right;white-space:nowrap}
.minute{font:600 1.02rem/1.3 var(--print);color:var(--ink-0);white-space:nowrap;width:3.4rem}
.log td:nth-child(2){font:1.02rem/1.35 var(--print);color:var(--ink-0)}
.log td:nth-child(3),.log td:nth-child(5){color:var(--ink-2)}
.ways td:nth-child(2){font:1.02rem/1.35 var(--print)}
.ways td,.ways th{font-size:.9rem}.ways td:nth-child(2){font-size:1rem}
.wrong-word{color:var(--brick);font-weight:600}
.scroll{overflow-x:auto}
dl{display:grid;grid-template-columns:max-content minmax(0,1fr);gap:.3rem 1rem;margin-top:.5rem}
dt{font:600 1rem/1.45 var(--print)}
dd{font:1rem/1.45 var(--print);color:var(--ink-1)}
.alone{font:.88rem/1.45 var(--desk);color:var(--ink-2)}
.kicks dl{margin-top:.7rem}
.kicks figure{margin-top:.1rem}
.kicks figure+p{margin-top:.1rem}
footer{margin-top:2.4rem;border-top:4px double var(--ink-0);padding-top:.5rem;color:var(--ink-2);
font:italic .9rem/1.4 var(--print)}
.plan text{font-size:11px}
.plan .strong{font-weight:600}
.plan .name{font:600 12.5px var(--print)}
.plan .note{font-size:10.5px}
.plan .brick{fill:var(--p-brick);font-weight:600}
.plan .grid{stroke:var(--p-rule);stroke-width:.7}
.plan .stem{stroke:var(--p-ink);stroke-width:.7;stroke-opacity:.5}
.plan .cam-1{fill:var(--p-ink)}
.plan .cam-2{fill:var(--p-faint)}
.plan .cam-3{fill:var(--p-open);stroke:var(--p-ink);stroke-width:.7}
.plan .cam-4{fill:var(--p-shade);stroke:var(--p-quiet);stroke-width:.7}
.plan .sign{fill:var(--p-ink);stroke:var(--p-ink);stroke-width:1.1}
.plan .sign-missed{fill:var(--p-brick);stroke:var(--p-brick);stroke-width:1.1}
.plan .hollow{fill:var(--p-page)}
.plan .away{stroke:var(--p-quiet);stroke-width:.6;stroke-opacity:.75}
.plan .way-1{fill:var(--p-open);stroke:var(--p-quiet);stroke-width:.7}
.plan .way-2{fill:var(--p-shade);stroke:var(--p-quiet);stroke-width:.5}
.plan .way-3{fill:var(--p-faint)}
.plan .way-4{fill:var(--p-quiet)}
.plan .way-5{fill:var(--p-ink)}
.plan .bar-other{fill:var(--p-faint)}
.plan .window{fill:var(--p-green);fill-opacity:.13}
.plan .shot-held{fill:var(--p-ink);stroke:var(--p-ink);stroke-width:1}
.plan .shot-lost{fill:var(--p-page);stroke:var(--p-quiet);stroke-width:1}
@media (max-width:900px){body{padding:0 1rem 2rem}
.folio{flex-wrap:wrap;gap:0 1rem}.folio span:nth-child(2){order:3;flex-basis:100%}
h1{font-size:1.72rem}.standfirst{font-size:1.05rem;text-align:left;text-wrap:wrap;
margin:.7rem 0 1rem}
.findings,.two{grid-template-columns:minmax(0,1fr)}
.findings article,.findings article:first-child,.findings article:last-child{padding:.7rem 0 .8rem}
.findings article+article{border-left:0;border-top:1px solid var(--line-0)}
.together{grid-template-columns:repeat(auto-fit,minmax(15rem,1fr))}
.wide{display:none}.narrow{display:block}.narrow svg+svg{margin-top:.8rem}
.log th:nth-child(3),.log td:nth-child(3){display:none}}
@media print{@page{size:A4;margin:13mm 14mm}
:root,:root[data-edition]{--ink-0:#000;--ink-1:#1c1c1c;--ink-2:#4a4a4a;--ink-3:#8c8c8c;
--paper-0:#fff;--paper-1:#fff;--paper-2:#e6e6e6;--line-0:#bdbdbd;--green:#1f4f28;--ochre:#6b4600;--brick:#7d2a17}
html{background:#fff}.folio a{display:none}body{max-width:none;padding:0;font-size:9.6pt}
h1{font-size:24pt}
.standfirst{font-size:11pt;margin:2mm auto 3mm}.findings .figure{font-size:18pt}
.findings article{padding:2mm 4mm}section{margin-top:5mm}.two{gap:0 7mm}
.wide{display:block}.narrow{display:none}
figure,tr,article{break-inside:avoid}h2{break-after:avoid}}
""".replace("NIGHT", _NIGHT)
