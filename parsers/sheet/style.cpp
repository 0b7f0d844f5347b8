#include "parts.hpp"

namespace slotwitness::sheet {

Markup style() {
    return Markup::ours(R"(<style>
@page { size: A4 portrait; margin: 6mm }
* { box-sizing: border-box; margin: 0; padding: 0 }
body { font-family: "Liberation Sans", Arial, Helvetica, "DejaVu Sans Condensed", sans-serif; line-height: 1.16;
  color: #000; background: #fff; -webkit-print-color-adjust: exact; print-color-adjust: exact }
@media screen { body { max-width: 198mm; margin: 7mm auto } }
h1 { font-size: 1.8em; line-height: 1.1 }
h2 { font-size: 1em; margin-bottom: .2em }
table { border-collapse: collapse; width: 100% }
ul { list-style: none }
header { border-bottom: .5mm solid #000; padding-bottom: .5em }
.what { display: flex; justify-content: space-between; align-items: baseline; gap: 2em; margin-bottom: .5em }
.where { display: flex; gap: 2em; align-items: end; margin-bottom: .5em }
.where .field:first-child b { font-size: 1.5em }
.where .field:first-child { min-width: 34% }
.where .field:last-child { flex: 1 }
.where .field:nth-child(n+4) { white-space: normal } /* a card has one more than a run sheet */
.who { display: grid; grid-template-columns: repeat(5, 1fr); gap: .6em 1.2em }
.field { display: flex; gap: .5em; align-items: end; white-space: nowrap }
.field b.line { flex: 1; border-bottom: .2mm solid #000; height: 1.5em }
.sides { display: grid; grid-template-columns: 1fr 1fr; gap: 1.2em; margin: .6em 0 }
section { margin-bottom: .5em }
.map table.row { table-layout: fixed; border-collapse: separate; border-spacing: .4mm }
.map td { border: .25mm solid #555; text-align: center; height: 3.7em; overflow: hidden; font-size: .92em; line-height: 1.05 }
.map td i { display: block; font-style: normal; color: #333; font-size: .85em }
.map td em { display: block; font-style: normal; font-weight: bold; font-size: .8em; text-transform: uppercase }
.map td.work { background: #000; color: #fff; border-color: #000 }
.map td.work i { color: #fff }
.map td.tray { border: .7mm dashed #000 }
.map td.stays { background: repeating-linear-gradient(135deg, #fff 0 1.6mm, #ccc 1.6mm 1.9mm) }
.map td.gap { border: 0 }
.frame { border: .25mm dashed #555; height: 24mm; padding: 1mm; color: #333 }
.choice { white-space: pre }
.given td, .given th { border-bottom: .15mm solid #999; text-align: left; vertical-align: top; padding: .05em .4em .05em 0 }
.given th { width: 31% }
.boxes li::before { content: "☐ " }
.rules { border: .6mm solid #000; padding: .3em .6em }
.rules li::before { content: "■ "; font-size: .8em }
.cooling { border: .4mm solid #000; padding: .3em .6em; display: flex; gap: 1.5em; align-items: baseline }
.cooling .who { flex: 1; grid-template-columns: repeat(4, 1fr) }
.steps { margin-bottom: .5em; table-layout: fixed }
.steps tr { break-inside: avoid }
.steps td, .steps th { border: .2mm solid #555; padding: .15em .4em; vertical-align: top; text-align: left }
.steps thead th { background: #ddd; vertical-align: bottom }
.steps th:first-child { width: 6em; text-align: center; vertical-align: middle; padding: 0 }
.steps th:nth-child(2) { width: 24% }
.steps th:nth-child(4) { width: 17% }
.steps th:nth-child(5) { width: 24mm }
.back { font-size: .92em }
.number { display: block; font-size: 1.7em; line-height: 1; font-weight: bold }
.actor { display: block; font-weight: normal; text-transform: uppercase; font-size: .8em }
tr.technician th { background: #000; color: #fff }
.lead { font-weight: bold }
.steps:not(.back) .waiting > .clause { display: block; padding-left: .8em; text-indent: -.8em }
.steps:not(.back) .waiting > .clause::before { content: "· " }
.times { color: #333; white-space: nowrap }
.act { font-weight: bold }
.ask { font-style: italic }
.signal { font-weight: bold; padding: 0 .3em }
.danger { background: #c8102e; color: #fff }
.warning { background: #ff8200 }
.signal.caution { background: #ffd100 }
.notice { background: #0057b8; color: #fff; font-style: italic }
.signal:not(.notice)::before { content: "⚠ " }
.code { display: flex; gap: .5mm }
.code i { width: 4.4mm; height: 4.4mm; border: .35mm solid #000; font: bold 3.4mm/3.7mm "Liberation Mono", "DejaVu Sans Mono", monospace;
  text-align: center }
.code .line { flex: 1; border-bottom: .2mm solid #000; margin-left: .8mm }
.reading { border-bottom: .2mm solid #000; height: 1.7em; display: flex; align-items: end; color: #555; font-size: .9em }
.spelling { margin-bottom: .3em }
.lines { font-family: "Liberation Mono", "DejaVu Sans Mono", monospace; font-size: .9em; white-space: pre-wrap }
.word { font-size: 1.8em; line-height: 1.1 }
.steps.done th:nth-child(2) { width: 15% }
.steps.done th:nth-child(4) { width: 26% }
footer { border-top: .5mm solid #000; padding-top: .2em; font-weight: bold }
</style>)");
}

} // namespace slotwitness::sheet
