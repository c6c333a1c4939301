//! How the page looks: on a phone in sunlight, on a desk, by night, on two pages of A4.

/// The style sheet of the page, beside that of the figures, whose colours it shares.
pub(super) const SHEET: &str = "\
*{box-sizing:border-box}\
html{-webkit-text-size-adjust:100%}\
body{margin:0;background:var(--paper);color:var(--ink);\
font:16px/1.42 system-ui,-apple-system,'Segoe UI',Roboto,'Noto Sans',sans-serif}\
main{max-width:64rem;margin:0 auto;padding:1rem}\
h1{font-size:1.6rem;line-height:1.15;margin:0}\
h2{font-size:1.12rem;line-height:1.2;margin:0 0 .4rem;border-bottom:2px solid var(--ink)}\
p{margin:.3rem 0}ul{margin:.3rem 0;padding-left:1.2rem}li{margin:.15rem 0}\
section,figure{margin:1.1rem 0 0}\
code{font-family:ui-monospace,'DejaVu Sans Mono',monospace;font-size:.9em;overflow-wrap:anywhere}\
h1,p,li,dd,td,th{overflow-wrap:anywhere}\
.sub,.note,.soft,.purpose{color:var(--soft)}.sub b{color:var(--ink)}.note{font-size:.92rem}\
.verdict{border:3px solid var(--ink);border-left-width:14px;padding:.7rem .9rem}\
.verdict h2{border:0;font-size:1.35rem}\
.verdict .sign{display:inline-block;min-width:1.4em;font-weight:800}\
.bad.verdict{border-color:var(--danger)}.bad.verdict h2{color:var(--danger)}\
.doubtful.verdict{border-color:var(--two);border-style:dashed;border-left-style:solid}\
.good.verdict{border-color:var(--three)}\
.findings{list-style:none;padding:0}\
.findings li{margin:.4rem 0;padding-left:.6rem;border-left:3px solid var(--rule)}\
.findings b{text-transform:uppercase;font-size:.85em;letter-spacing:.03em}\
b.error,td.bad b{color:var(--danger)}b.warning{color:var(--two)}\
.caution{font-weight:600}.remedy{display:block}.remedy i{font-style:normal;font-weight:600}\
figure{margin-left:0;margin-right:0}figcaption{font-weight:700;margin-bottom:.2rem}\
svg{display:block;width:100%;height:auto}\
dl{margin:0}dl div{display:flex;justify-content:space-between;gap:.8rem;padding:.16rem 0;\
border-bottom:1px solid var(--rule)}dt{color:var(--soft);flex:0 1 auto}\
dd{margin:0;text-align:right;font-weight:600;flex:0 1 auto;max-width:68%}\
.alarm dt,.alarm dd{color:var(--danger)}\
table{border-collapse:collapse;width:100%}\
th,td{text-align:left;vertical-align:top;padding:.22rem .5rem .22rem 0;\
border-bottom:1px solid var(--rule)}thead th{color:var(--soft);font-weight:600;font-size:.9rem}\
tbody th{font-weight:600}caption{text-align:left;color:var(--soft)}\
.id{font-size:.8em;color:var(--soft)}\
.checklist ul{list-style:none;padding:0}.checklist li{display:flex;gap:.5rem;align-items:flex-start}\
input{width:1.3rem;height:1.3rem;margin:.1rem 0 0;flex:none;accent-color:var(--one)}\
.sign td{height:2.6rem;border:1px solid var(--soft);padding:.3rem}.sign td:nth-child(3){width:34%}\
.sign th{padding:.3rem}\
.digests .code{width:9rem;height:9rem}\
.files{font-size:.85rem}.whole{font-weight:700}\
.cards thead th,.contingencies th{overflow-wrap:normal}.told+.told{margin-top:.2rem}.only-print,.on-paper,.lead{display:none}\
:focus-visible{outline:3px solid var(--one);outline-offset:2px}\
@media screen and (max-width:40rem){\
.fig{margin:0 -.55rem;width:calc(100% + 1.1rem)}\
.cards thead{position:absolute;clip-path:inset(50%);width:1px;height:1px;overflow:hidden}\
.cards,.cards tbody,.cards tr,.cards th,.cards td{display:block;border:0;padding:0}\
.cards tr{border-bottom:1px solid var(--rule);padding:.4rem 0}.cards td:empty{display:none}\
.cards td[data-label]{display:flex;justify-content:space-between;gap:.8rem;font-weight:600}\
.cards td[data-label]::before{content:attr(data-label);color:var(--soft);font-weight:400}\
.cards .lead{display:inline;color:var(--soft);font-weight:400}.cards .names{display:inline}\
.contingencies td[data-label]{display:grid;grid-template-columns:4.4rem 1fr;gap:0 .5rem;font-weight:400}\
.contingencies td[data-label]::before{grid-row:1/span 9}.contingencies td>*{grid-column:2}\
.sign thead{display:none}\
.sign tr,.sign th,.sign td{display:block;width:auto}.sign td:nth-child(3){width:auto}\
.files thead{display:none}.files tr,.files th,.files td{display:block;border:0;padding:0}\
.files tr{border-bottom:1px solid var(--rule);padding:.3rem 0}}\
@media screen and (min-width:48rem){\
.contingencies th{white-space:nowrap}\
.first{display:grid;grid-template-columns:3fr 2fr;column-gap:1.6rem;\
grid-template-rows:auto auto auto auto 1fr auto auto}.sheet{display:contents}\
.first>*,.sheet>*{min-width:0}\
.first header{grid-area:1/1/2/3}.first .verdict{grid-area:2/1/3/3}.first .map{grid-area:3/1/6/2}\
.first .times{grid-area:3/2/4/3}.first .figures{grid-area:4/2/5/3}.first .people{grid-area:5/2/6/3}\
.first .turn-back{grid-area:6/1/7/3}.first .contingencies{grid-area:7/1/8/3}\
.grid{display:grid;grid-template-columns:1fr 1fr;gap:.4rem 1.6rem}.grid figure{margin-top:.8rem}.wide{grid-row:span 2}\
.columns{columns:2;column-gap:1.6rem}.columns section{break-inside:avoid;margin-top:0;\
padding-top:1.1rem}\
.digests{display:grid;grid-template-columns:1fr 9rem;gap:.4rem 1.6rem}.digests .files{grid-column:1/3}}\
@page{size:A4;margin:8mm 10mm}\
@media print{\
body{font-size:7.4pt;line-height:1.18}main{max-width:none;padding:0}\
h1{font-size:14pt}h2{font-size:9pt;margin-bottom:.2rem;border-bottom-width:1px}\
section,figure{margin-top:.45rem}p{margin:.1rem 0}ul{margin:.1rem 0}li{margin:.05rem 0}\
.verdict{border-width:1.5pt;border-left-width:6pt;padding:.2rem .5rem;margin-top:.4rem}\
.verdict h2{font-size:12pt}.findings li{margin:.12rem 0}\
.note{font-size:7pt}thead th{font-size:7pt}\
.sheet{display:grid;grid-template-columns:104mm 1fr;column-gap:5mm;max-height:272mm;\
grid-template-rows:auto auto auto 1fr auto auto}.sheet>*{min-width:0}\
.sheet header{grid-area:1/1/2/3}.sheet .verdict{grid-area:2/1/3/3}.sheet .map{grid-area:3/1/5/2}\
.sheet .times{grid-area:3/2/4/3}.sheet .people{grid-area:4/2/5/3}\
.sheet .turn-back{grid-area:5/1/6/3}.sheet .contingencies{grid-area:6/1/7/3}\
.figures{break-before:page;margin-top:0}.figures dl{columns:3;column-gap:5mm}\
.figures dl div{break-inside:avoid}\
.map{display:flex;flex-direction:column;min-height:0}\
.map svg{flex:0 1 auto;min-height:0;max-height:135mm}\
.turn-back table{table-layout:fixed}.turn-back .before{width:27%}.turn-back .leg{width:20%}\
.turn-back .volts{width:17%}.turn-back .used{width:14%}.turn-back .gauge{width:10%}\
.turn-back .draw{width:12%}\
.names{display:flex;gap:.3em}.names span{flex:none;white-space:nowrap}\
.names .name{flex:0 1 auto;min-width:0;overflow:hidden;text-overflow:ellipsis}\
.sheet dd{max-width:76%}\
.sheet dd,.columns dl div,.sub,.purpose,h1{overflow:hidden;display:-webkit-box;\
-webkit-box-orient:vertical;-webkit-line-clamp:2}.people dd{-webkit-line-clamp:4}\
.sheet .times dd{display:block;overflow:visible}.times dt{white-space:nowrap}\
.findings li{overflow:hidden;display:-webkit-box;-webkit-box-orient:vertical;-webkit-line-clamp:5}\
.columns dl div{-webkit-line-clamp:5}.columns dt,.columns dd{display:inline;text-align:left}\
.columns dt::after{content:': '}\
.contingencies table{table-layout:fixed}.contingencies th{width:17%}\
.contingencies th:nth-child(2){width:16%}.contingencies th:nth-child(3){width:37%}\
.contingencies th:nth-child(4){width:30%}\
.told{overflow:hidden;display:-webkit-box;-webkit-box-orient:vertical;-webkit-line-clamp:6}\
dl div{padding:.06rem 0}th,td{padding:.05rem .4rem .05rem 0}\
.grid{display:grid;grid-template-columns:62mm 1fr 1fr;gap:1mm 4mm}.grid figure{margin-top:1mm}\
.grid svg{max-height:36mm}.wide{grid-area:1/1/3/2}.grid .wide svg{max-height:72mm}\
.columns{columns:3;column-gap:5mm;font-size:7.2pt}.columns section{margin-top:0;padding-top:.35rem}\
.columns li,.columns tr,.columns dl div,.columns p,h2{break-inside:avoid}h2{break-after:avoid}\
input{width:2.6mm;height:2.6mm;margin-top:.2mm}\
.sign{break-inside:avoid}.sign td{height:6.4mm}.sign th{padding:.1rem .3rem}\
.digests{display:grid;grid-template-columns:1fr 22mm;gap:0 5mm;break-inside:avoid}\
.digests .code{width:22mm;height:22mm;grid-row:1/3;grid-column:2}\
.digests .files{grid-column:1}.files{font-size:5.6pt;line-height:1.15}.files thead{display:none}\
.files th,.files td{padding:0 .4rem 0 0}\
.on-screen{display:none}.remedy{display:inline}.more,.findings li.more{display:none}.only-print{display:block}.on-paper{display:inline}}";
