// The chassis as people stand before it: a drawing in lines, where hatching and shape tell the condition.
import { drawn as s } from "./parts.js";
import { conditions } from "./engineer_view.js";

const gap = 8;
const narrowest = 124; // a slot in which "operational" has room
const heights = { "fan-tray": 84, "power-supply": 84, controller: 76, plane: 88 };

/// What the patterns are called is the same on each drawing: they stand once in the page.
export function patterns() {
    const lines = (id, ...paths) =>
        s(
            "pattern",
            { id, width: 8, height: 8, patternUnits: "userSpaceOnUse" },
            paths.map((d) => s("path", { d, class: "hatch" })),
        );
    return s(
        "svg",
        { width: 0, height: 0, class: "patterns", "aria-hidden": "true" },
        s(
            "defs",
            {},
            lines("hatch-shut", "M-2,2 l4,-4 M0,8 l8,-8 M6,10 l4,-4"),
            lines("hatch-down", "M-2,2 l4,-4 M0,8 l8,-8 M6,10 l4,-4", "M-2,6 l4,4 M0,0 l8,8 M6,-2 l4,4"),
            lines("hatch-degraded", "M0,4 h8"),
            lines("hatch-starting", "M4,0 v3 M4,5 v3"),
            s(
                "pattern",
                { id: "hatch-unknown", width: 8, height: 8, patternUnits: "userSpaceOnUse" },
                s("circle", { cx: 2, cy: 2, r: 1, class: "dot" }),
                s("circle", { cx: 6, cy: 6, r: 1, class: "dot" }),
            ),
        ),
    );
}

/// The shape of a condition, in a square of 18 about its middle.
export function shape(condition, x, y) {
    const at = { transform: `translate(${x},${y})`, class: `sign ${condition}`, "aria-hidden": "true" };
    switch (conditions[condition].shape) {
        case "disc":
            return s("g", at, s("circle", { r: 7, class: "solid" }));
        case "half":
            return s("g", at, s("circle", { r: 7 }), s("path", { d: "M0,-7 a7,7 0 0 1 0,14 z", class: "solid" }));
        case "ring":
            return s("g", at, s("circle", { r: 7 }), s("circle", { r: 2, class: "solid" }));
        case "cross":
            return s("g", at, s("path", { d: "M-6,-6 L6,6 M-6,6 L6,-6", class: "thick" }));
        case "bar":
            return s("g", at, s("rect", { x: -7, y: -7, width: 14, height: 14 }), s("path", { d: "M-4,0 h8", class: "thick" }));
        case "void":
            return s("g", at, s("circle", { r: 7, "stroke-dasharray": "3 3" }));
        default:
            return s("g", at, s("path", { d: "M-7,0 L0,-7 L7,0 L0,7 z" }), s("text", { y: 4, class: "in-shape" }, "?"));
    }
}

function slotDrawing(slot, box, chosen, choose) {
    const { x, y, w, h } = box;
    const word = conditions[slot.condition].word;
    const pick = () => choose(slot);
    return s(
        "g",
        {
            class: `slot ${slot.condition}${slot.work ? " work" : ""}`,
            role: "button",
            tabindex: 0,
            "aria-pressed": String(slot.key === chosen),
            "data-key": slot.key,
            onclick: pick,
            onkeydown: (event) => {
                if (event.key !== "Enter" && event.key !== " ") return;
                event.preventDefault();
                pick();
            },
        },
        s("rect", { x, y, width: w, height: h, class: "body" }),
        s("rect", { x, y, width: w, height: h, class: "filling" }),
        slot.condition === "absent" ? s("path", { d: `M${x},${y} l${w},${h} M${x + w},${y} l${-w},${h}`, class: "gone" }) : null,
        s("rect", { x: x + 4, y: y + 4, width: w - 8, height: h - 8, class: "plate" }),
        s("text", { x: x + 10, y: y + 21, class: "label" }, slot.label || slot.name),
        slot.label && slot.kind !== "plane" ? s("text", { x: x + 10, y: y + 39, class: "name" }, slot.name) : null,
        slot.by?.length ? s("text", { x: x + 10, y: y + 39, class: "name" }, slot.by.join(" ")) : null,
        shape(slot.condition, x + 17, y + h - 18),
        s("text", { x: x + 31, y: y + h - 13, class: "word" }, word),
        slot.work ? s("text", { x: x + 10, y: y + h - 4, class: "unseen" }, "part of the work") : null,
        slot.work ? s("path", { class: "corners", d: corners(x - 3, y - 3, w + 6, h + 6, 14) }) : null,
        s("rect", { x: x - 1, y: y - 1, width: w + 2, height: h + 2, class: "focus" }),
    );
}

function corners(x, y, w, h, l) {
    return `M${x},${y + l} v${-l} h${l} M${x + w - l},${y} h${l} v${l} M${x + w},${y + h - l} v${l} h${-l} M${x + l},${y + h} h${-l} v${-l}`;
}

/// Rows of slots as one drawing of this width, or of the one that its words want; `title` names it. `choose(slot)` when one is picked.
export function drawing(rows, title, most, chosen, choose) {
    const width = Math.max(most, ...rows.map((row) => row.length * narrowest));
    let y = 10;
    const drawn = [];
    for (const row of rows) {
        const h = Math.max(...row.map((slot) => heights[slot?.kind] ?? 92));
        const w = (width - gap * (row.length + 1)) / row.length;
        row.forEach((slot, i) => {
            const box = { x: gap + i * (w + gap), y, w, h };
            drawn.push(
                slot
                    ? slotDrawing(slot, box, chosen, choose)
                    : s("rect", { x: box.x, y, width: w, height: h, class: "blank", "aria-hidden": "true" }),
            );
        });
        y += h + gap;
    }
    return s(
        "svg",
        { viewBox: `0 0 ${width} ${y + 2}`, class: "drawing", "font-size": 14, role: "group", "aria-label": title },
        s("rect", { x: 1, y: 1, width: width - 2, height: y, class: "frame" }),
        drawn,
    );
}
