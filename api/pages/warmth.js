// A sensor while cooling is reduced: what it told, and between which temperatures its course may go on.
import { drawn as s } from "./parts.js";
import { celsiusRange, clock as clockTime, pieces, ticks, time } from "./engineer_view.js";

const width = 620;
const height = 240;
const box = { left: 46, right: 14, top: 14, bottom: 26 };

export function warmth(sensor, clock, now, gap) {
    const begins = [...sensor.looks.map((look) => time(look.at)), now];
    const ends = [now, ...sensor.band.map((point) => time(point.at))];
    if (clock?.began && !clock.ended) begins.push(time(clock.began));
    const from = Math.max(Math.min(...begins), now - 3_600_000);
    const until = Math.max(...ends, from + 60_000);
    const { low, high } = celsiusRange(sensor);
    const x = (at) => box.left + ((at - from) / (until - from)) * (width - box.left - box.right);
    const y = (celsius) => height - box.bottom - ((celsius - low) / (high - low)) * (height - box.top - box.bottom);
    const path = (points) => points.map((one, i) => `${i ? "L" : "M"}${x(one.at).toFixed(1)},${y(one.celsius).toFixed(1)}`).join("");
    const band = sensor.band.map((point) => ({ ...point, at: time(point.at) }));
    const seen = pieces(
        sensor.looks.filter((look) => time(look.at) >= from),
        gap,
    );
    const newest = seen.at(-1)?.at(-1);
    const lines = [];
    for (let celsius = low; celsius <= high; celsius += high - low > 60 ? 20 : 10) lines.push(celsius);
    const axis = ticks(from, until, 5, -new Date(now).getTimezoneOffset() * 60_000);
    const words =
        `${sensor.name}: ${newest ? `${newest.celsius} C at the last look` : "no temperature yet"}, limit ${sensor.hottest} C` +
        (band.length ? `; by ${clockTime(band.at(-1).at)} between ${band.at(-1).low.toFixed(0)} and ${band.at(-1).high.toFixed(0)} C` : "");
    return s(
        "svg",
        { viewBox: `0 0 ${width} ${height}`, class: "warmth", "font-size": 14, role: "img", "aria-label": words },
        lines.map((celsius) =>
            s(
                "g",
                { class: "tick" },
                s("path", { d: `M${box.left},${y(celsius)} H${width - box.right}` }),
                s("text", { x: box.left - 6, y: y(celsius) + 4, class: "end" }, `${celsius} C`),
            ),
        ),
        axis.at.map((at) =>
            s("g", { class: "tick" }, s("text", { x: x(at), y: height - 8, class: "middle" }, clockTime(at, axis.step < 60_000))),
        ),
        band.length
            ? s("path", {
                  class: "band",
                  d: `${path(band.map((p) => ({ at: p.at, celsius: p.high })))}${path(band.map((p) => ({ at: p.at, celsius: p.low })).reverse()).replace("M", "L")}z`,
              })
            : null,
        band.length ? s("path", { class: "middle-course", d: path(band.map((p) => ({ at: p.at, celsius: p.middle }))) }) : null,
        s(
            "g",
            { class: "limit" },
            s("path", { d: `M${box.left},${y(Number(sensor.hottest))} H${width - box.right}` }),
            s("text", { x: width - box.right - 4, y: y(Number(sensor.hottest)) - 5, class: "end" }, `limit ${sensor.hottest} C`),
        ),
        seen.map((piece) => [
            s("path", { class: "course", d: path(piece) }),
            piece.length < 60 ? piece.map((one) => s("circle", { cx: x(one.at), cy: y(one.celsius), r: 2.2, class: "look" })) : null,
        ]),
        clock?.began && !clock.ended
            ? s("path", { class: "began", d: `M${x(time(clock.began))},${box.top} V${height - box.bottom}` })
            : null,
        s("path", { class: "now-line", d: `M${x(now)},${box.top} V${height - box.bottom}` }),
    );
}
