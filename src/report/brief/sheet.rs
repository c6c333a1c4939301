//! How the page looks: on a phone in sunlight, on a desk, by night, on two pages of A4.

/// The style sheet of the page, beside that of the figures, whose colours it shares.
pub(super) const SHEET: &str = "\
*{box-sizing:border-box}\
html{-webkit-text-size-adjust:100%}\
body{margin:0;background:var(--paper);color:var(--ink);\
font:16px/1.42 system-ui,-apple-system,'Segoe UI',Roboto,'Noto Sans',sans-serif}\
main{max-width:64rem;margin:0 auto;padding:1rem}\
h1{font-size:1.5rem;line-height:1.15;margin:0}\
h2{font-size:1.12rem;line-height:1.2;margin:0 0 .4rem;border-bottom:2px solid var(--ink)}\
p{margin:.3rem 0}ul{margin:.3rem 0;padding-left:1.2rem}li{margin:.15rem 0}\
section,figure{margin:1.1rem 0 0}\
code{font-family:ui-monospace,'DejaVu Sans Mono',monospace;font-size:.9em;overflow-wrap:anywhere}\
h1,p,li,dd,td,th{overflow-wrap:anywhere}\
.sub,.note,.soft,.purpose{color:var(--soft)}.sub b{color:var(--ink)}.note{font-size:.92rem}\
.verdict{border:3px solid var(--ink);border-left-width:14px;padding:.7rem .9rem}\
.verdict h2{border:0;font-size:1.35rem}\
.verdict .sign{font-weight:800;margin-right:.3em}\
.bad.verdict{border-color:var(--danger)}.bad.verdict h2{color:var(--danger)}\
.doubtful.verdict{border-color:var(--two);border-style:dashed;border-left-style:solid}\
.good.verdict{border-color:var(--three)}\
.physical{font-size:.92rem}.contact{font-size:1rem}\
.band{display:grid;grid-template-columns:1fr 1fr;gap:.5rem;margin-top:.6rem}\
.box{margin:0;min-width:0;border:2px solid var(--soft);padding:.45rem .6rem}\
.box h2{border:0;font-size:.88rem;color:var(--soft);margin:0 0 .15rem}\
.box.verdict{grid-column:1/-1}.box.verdict h2{font-size:1.35rem;line-height:1.1}\
.big{line-height:1.12;margin:.2rem 0}.big b{font-size:1.6rem;white-space:nowrap}\
.tag,.then{color:var(--soft);font-size:.85rem}.then{white-space:nowrap}.tag{display:block}\
.fine{color:var(--soft);font-size:.8rem;line-height:1.25}.alarm-at b{color:var(--danger)}\
.number{display:flex;align-items:flex-end}.blank{flex:1;height:1.3em;margin-left:.4rem;\
border-bottom:1px solid var(--ink)}\
.times{margin-top:.3rem}.times dl{display:flex;flex-wrap:wrap;gap:0 1.4rem}\
.times dl div{border:0;gap:.4rem;justify-content:flex-start}.times dd{max-width:none;text-align:left}\
.key{margin-top:.4rem}.key ul{list-style:none;padding:0;margin:0;display:flex;flex-wrap:wrap;\
gap:.1rem 1rem;font-size:.85rem}\
.key li{display:flex;align-items:center;gap:.35rem;max-width:100%;margin:0}.key li.only-print{display:none}\
.key svg{flex:none;width:1.9rem;height:1rem}\
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
svg.fig{margin:0 -.55rem;width:calc(100% + 1.1rem)}\
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
.first,.sheet{display:grid;grid-template-columns:1fr 1fr;column-gap:1.6rem}\
.first>*,.sheet>*{min-width:0;grid-column:1/-1}\
.sheet .map{grid-area:5/1/6/2}.sheet .beside{grid-area:5/2/7/3}.sheet .key{grid-area:6/1/7/2}\
.sheet{grid-template-rows:auto auto auto auto auto 1fr auto}\
.sheet header{grid-row:1}.sheet .times{grid-row:2}.sheet .band{grid-row:3}.sheet .found{grid-row:4}\
.sheet .contingencies{grid-row:7}\
.band{grid-template-columns:1.35fr 1fr 1fr 1fr 1.2fr}.box.verdict{grid-column:auto}\
.box.verdict h2{font-size:1.2rem}.times dl div{padding:0}\
.grid{display:grid;grid-template-columns:1fr 1fr;gap:.4rem 1.6rem}.grid figure{margin-top:.8rem}.wide{grid-row:span 2}\
.columns{columns:2;column-gap:1.6rem}.columns section{break-inside:avoid;margin-top:0;\
padding-top:1.1rem}\
.digests{display:grid;grid-template-columns:1fr 9rem;gap:.4rem 1.6rem}.digests .files{grid-column:1/3}}\
@media print,screen and (min-width:48rem){\
.turn-back tr{display:grid;grid-template-columns:1fr 18% 27% 15%;\
grid-template-areas:'before volts used gauge' 'leg leg draw draw';border-bottom:1px solid var(--rule)}\
.turn-back th,.turn-back td{border:0;min-width:0}.turn-back .before{grid-area:before}\
.turn-back .leg{grid-area:leg;color:var(--soft)}.turn-back .volts{grid-area:volts}\
.turn-back .used{grid-area:used}.turn-back .gauge{grid-area:gauge}\
.turn-back .draw{grid-area:draw;color:var(--soft);text-align:right;padding-right:0}\
.turn-back td.bad{grid-column:2/-1;grid-row:1}}\
@page{size:A4;margin:6mm 10mm}\
@media print{\
body{font-size:7.4pt;line-height:1.18}main{max-width:none;padding:0}\
h1{font-size:14pt}h2{font-size:9pt;margin-bottom:.2rem;border-bottom-width:1px}\
section,figure{margin-top:.45rem}p{margin:.1rem 0}ul{margin:.1rem 0}li{margin:.05rem 0}\
.verdict{border-width:1.5pt;border-left-width:5pt;padding:.2rem .5rem;margin-top:.4rem}\
.verdict h2{font-size:12pt}.findings{margin:0}.findings li{margin:.1rem 0;padding-left:.4rem}\
.note{font-size:6.8pt;line-height:1.14}thead th{font-size:6.8pt}.physical{font-size:7pt}.contact{font-size:8pt}\
header h1,header .sub{-webkit-line-clamp:1}header .purpose{display:none}\
.times{margin-top:.15rem}.band{grid-template-columns:1.3fr 1.02fr .95fr 1.1fr 1.15fr;gap:1.5mm;margin-top:.3rem}\
.box{border-width:.9pt;padding:.18rem .3rem;line-height:1.14}.box p{margin:.08rem 0}\
.box.verdict{border-width:1.5pt;border-left-width:4pt;margin:0;grid-column:auto}\
.box h2{font-size:7.6pt;margin:0}.box.verdict h2{font-size:12pt;line-height:1.04;margin-bottom:.1rem}\
.big{display:flex;align-items:baseline;gap:1mm;line-height:1.04}.big b{font-size:13pt}\
.tag{flex:none;width:9.6mm}.tag,.then{font-size:6.8pt}.wind-box .then{display:block}.wind-box .tag{width:11mm}\
.fine{font-size:6.3pt;line-height:1.12}.blank{height:4.4mm}\
.sheet{display:grid;grid-template-columns:100mm 1fr;column-gap:5mm;max-height:284mm;overflow:clip;\
grid-template-rows:auto auto auto auto auto auto 1fr}.sheet>*{min-width:0;grid-column:1/3}\
.sheet header{grid-row:1}.sheet .times{grid-row:2}.sheet .band{grid-row:3}.sheet .found{grid-row:4}\
.sheet .map{grid-area:5/1/6/2}.sheet .beside{grid-area:5/2/6/3}.sheet .key{grid-row:6}.sheet .contingencies{grid-row:7}\
.found{margin-top:.3rem}.found h2{display:none}\
.map svg.fig{width:100mm;height:130mm}.map figcaption{display:none}\
.pair .map svg.fig{width:112mm;height:auto}\
.key{margin-top:.2rem}.key ul{font-size:6.4pt;line-height:1.12;gap:0 3mm}.key li{gap:.8mm}\
.key li.only-print{display:flex}.key li.more{display:none}.key svg{width:5.2mm;height:2.8mm}\
.turn-back thead th{font-size:6.3pt;line-height:1.1;font-weight:400}\
.again{break-before:page;border-bottom:1px solid var(--ink)}.again p{margin:.05rem 0}.again .contact{font-size:6.9pt}\
.again~*,.again~* section{margin-top:.32rem}.digests caption{display:none}\
.figures dl{columns:4;column-gap:4mm}.figures dd{max-width:none;white-space:nowrap}\
.figures dl div{break-inside:avoid}\
.names,.lines .part{display:flex;gap:.3em}.names span{flex:none;white-space:nowrap}.part{display:contents}\
.lines .names{flex-wrap:wrap;gap:0 .3em}.lines .part{flex:0 1 auto;min-width:0;max-width:100%}\
.names .name{flex:0 1 auto;min-width:0;overflow:hidden;text-overflow:ellipsis}\
.sheet .people dd{max-width:76%}\
.sheet dd,.columns dl div,.sub,.purpose,h1{overflow:hidden;display:-webkit-box;\
-webkit-box-orient:vertical;-webkit-line-clamp:2}.people dd{-webkit-line-clamp:4}\
.sheet .times dd{display:block;overflow:visible}.times dt{white-space:nowrap}\
.findings li{overflow:hidden;display:-webkit-box;-webkit-box-orient:vertical;-webkit-line-clamp:4}\
.columns dl div{-webkit-line-clamp:5}.columns dt,.columns dd{display:inline;text-align:left}\
.columns dt::after{content:': '}\
.contingencies table{table-layout:fixed}.contingencies th{width:14.5%}\
.contingencies th:nth-child(2){width:19%}.contingencies th:nth-child(3){width:37.5%}\
.contingencies th:nth-child(4){width:29%}\
.contingencies .note{display:inline;margin-right:.6em}\
.turn-back td.bad{line-height:1.05}.turn-back td,.turn-back th{padding:0 .4rem 0 0}\
.beside section{margin-top:.2rem}.beside .note{line-height:1.05}\
.told{overflow:hidden;display:-webkit-box;-webkit-box-orient:vertical;-webkit-line-clamp:6}\
dl div{padding:.06rem 0}th,td{padding:.05rem .4rem .05rem 0}\
.grid{display:grid;grid-template-columns:62mm 1fr 1fr;gap:1mm 4mm}.grid figure{margin-top:1mm}\
.grid svg{max-height:34mm}.wide{grid-area:1/1/3/2}.grid .wide svg{max-height:75mm}\
.columns{columns:3;column-gap:5mm;font-size:7pt;line-height:1.15}.columns section{margin-top:0;padding-top:.35rem}\
.columns li,.columns tr,.columns dl div,.columns p,h2{break-inside:avoid}h2{break-after:avoid}\
input{width:2.6mm;height:2.6mm;margin-top:.2mm}\
.sign{break-inside:avoid}.sign td{height:5.4mm}.sign th{padding:.1rem .3rem}\
.digests{display:grid;grid-template-columns:1fr 22mm;gap:0 5mm;break-inside:avoid}\
.digests .code{width:22mm;height:22mm;grid-row:1/3;grid-column:2}\
.digests .files{grid-column:1}.files{font-size:5.6pt;line-height:1.15}.files thead{display:none}\
.files th,.files td{padding:0 .4rem 0 0}\
.on-screen{display:none}.remedy{display:inline}.more,.findings li.more{display:none}.only-print{display:block}.on-paper{display:inline}}";
