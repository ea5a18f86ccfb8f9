//! How the page looks: paper by day, slate by night, A4 when printed. Text keeps at least 7:1 against its ground.

/// The style sheet.
pub const CSS: &str = "\
:root{color-scheme:light dark;--paper:#fbf8f1;--ink:#1a1714;--quiet:#4d473f;--line:#8d8478;--wood:#c79a5b;--ground:#fff;--mark:#0b4a5e;--loud:#7d1808}\
@media(prefers-color-scheme:dark){:root{--paper:#171513;--ink:#f6f0e4;--quiet:#c9c1b3;--line:#8d8478;--wood:#8a6432;--ground:#2a2622;--mark:#9fd8e8;--loud:#ffab95}}\
body{background:var(--paper);color:var(--ink);font:16px/1.45 Georgia,'Times New Roman',serif;margin:0 auto;max-width:64rem;padding:1.5rem}\
h1{font-size:1.9rem;line-height:1.2;margin:0 0 .3rem}h2{font-size:1.3rem;margin:1.8rem 0 .5rem}h3{font-size:1rem;margin:1rem 0 .2rem}\
ul{margin:.2rem 0;padding-left:1.2rem}p{margin:.4rem 0}.quiet,figcaption,caption{color:var(--quiet);font-size:.9rem}.loud{color:var(--loud);font-weight:bold}\
h1,h2,h3,li,p{overflow-wrap:anywhere}td,th{overflow-wrap:break-word}tbody th{font-weight:normal}.p{white-space:nowrap}table.small th{hyphens:none}\
.wide{overflow-x:auto}table{border-collapse:collapse;font-size:.9rem}table.small{font-size:.75rem}caption{text-align:left;padding-bottom:.3rem}\
th,td{border-bottom:1px solid var(--line);padding:.25rem .5rem;text-align:left;vertical-align:top}.n{text-align:right;font-variant-numeric:tabular-nums}\
figure{margin:.6rem 0;break-inside:avoid}figure.row{display:inline-block;margin-right:1rem;vertical-align:top}figure.line{display:flex;gap:1rem;align-items:center;margin:.1rem 0}figure.line svg{flex:0 1 660px;min-width:0}figure.line figcaption{flex:1 1 12rem}.parts{columns:24rem;column-gap:2rem}.parts>div{break-inside:avoid}.parts h3{margin-top:.4rem}svg{max-width:100%;height:auto;display:block}\
svg text{fill:var(--ink);font:12px Georgia,serif}.hatch{position:absolute;width:0;height:0}\
.lede{font-size:1.25rem;line-height:1.4;max-width:46rem}.thumbs{display:grid;grid-template-columns:repeat(auto-fill,minmax(150px,1fr));gap:.6rem 1rem}.thumbs a{color:inherit;text-decoration:none}.thumbs a:hover,.thumbs a:focus{outline:2px solid var(--mark);outline-offset:3px}.thumbs figure{margin:0}.thumb figcaption{overflow-wrap:anywhere}.photos{display:flex;flex-wrap:wrap;gap:.8rem}.photos figure{flex:0 1 15rem;margin:0}.photos img{width:100%;height:auto;display:block}\
.gr{stroke:var(--line);stroke-width:.4;fill:none}.mkl{stroke:var(--mark);stroke-width:3;fill:none}.ck{stroke:var(--loud);stroke-width:2.5;fill:none}\
.ax{stroke:var(--line);stroke-width:1;fill:none}.co{stroke:var(--ink);stroke-width:2;fill:none}.st{stroke:var(--mark);stroke-width:2;stroke-dasharray:3 2;fill:none}\
.fl{fill:var(--ground);stroke:var(--ink);stroke-width:.7}.wd{fill:var(--wood);stroke:var(--ink);stroke-width:.7}.in{fill:var(--ink)}.mk{fill:var(--mark)}.hh{stroke:var(--ink);stroke-width:.8;fill:none}\
.g0{fill:var(--ground);stroke:var(--line)}.g1{fill:var(--line);stroke:var(--line)}.g2{fill:var(--ink);stroke:var(--line)}\
section.panel{border-top:2px solid var(--ink);margin-top:2rem}\
@media(max-width:40rem){svg text{font-size:18px}caption{max-width:calc(100vw - 3rem)}figure.line{flex-wrap:wrap}}\
@media print{@page{size:A4;margin:14mm}:root{--paper:#fff;--ink:#000;--quiet:#333;--line:#777;--wood:#d8bd92;--ground:#fff;--mark:#000;--loud:#000}\
body{font-size:9.5pt;line-height:1.35;max-width:none;padding:0}h1{font-size:16pt}h2{font-size:12pt;margin:9pt 0 3pt}figure{margin:4pt 0}figure.cut svg{max-height:75mm;width:auto}.parts{columns:2}section.panel,.details{break-before:page}.wall{break-inside:avoid}.thumbs{grid-template-columns:repeat(4,1fr);gap:6pt 8pt}.thumbs svg{width:100%}.lede{font-size:12pt}.photos figure{flex-basis:30%}h2,h3{break-after:avoid}tr{break-inside:avoid}thead{display:table-header-group}.wide{overflow:visible}table.small{font-size:6.5pt}table.small th,table.small td{padding:1pt 2pt}}";

/// What a label adds: a page of 60 x 90 mm, in ink on paper also on a dark screen.
pub const LABEL_CSS: &str = "\
@page{size:60mm 90mm;margin:3mm}:root{color-scheme:light;--paper:#fff;--ink:#000;--quiet:#000;--line:#555;--wood:#d8bd92;--ground:#fff}\
body{padding:0;margin:0;background:#fff}main.label{width:54mm;height:83mm;overflow:hidden;font-size:7.5pt;line-height:1.25;box-sizing:border-box}\
.label .head{display:flex;gap:3mm;align-items:flex-start;margin-bottom:2mm}.label .head svg{flex:none;width:9mm;height:13.5mm}.label h1{font-size:12pt;margin:0}.label p{margin:.5mm 0}\
.label>svg{width:54mm;height:auto;max-height:32mm}.label ul{margin:1.5mm 0 0;padding:0;list-style:none}.label li{margin-bottom:.6mm}";
