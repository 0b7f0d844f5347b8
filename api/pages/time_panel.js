// The timeline with its zoom: by buttons, keys, wheel and drag.
import { $, chosen, draw, known } from "./engineer_state.js";
import * as model from "./engineer_view.js";
import { element as h, show, widthOf } from "./parts.js";
import { clockTracks, lines, lookOf, markText } from "./timeline.js";

export function drawTime(now) {
    const { timeline } = known;
    const parts = model.workParts(known.procedure);
    const first = model.time(timeline.since) ?? now;
    if (chosen.window === null || chosen.window.follows) {
        const width = chosen.window?.chosen ? chosen.window.until - chosen.window.from : Math.min(Math.max(now - first, 60_000), 1_800_000);
        chosen.window = {
            ...model.moved({ from: now - width, until: now + width * 0.02 }, 0, first, now),
            follows: true,
            chosen: chosen.window?.chosen,
        };
    }
    const set = (window) => {
        chosen.window = { ...window, follows: window.until >= now, chosen: true };
        draw();
    };
    const zoom = (factor, at = Math.min(now, chosen.window.until)) => set(model.zoomed(chosen.window, factor, at, first, now));
    const shift = (share) => set(model.moved(chosen.window, (chosen.window.until - chosen.window.from) * share, first, now));
    const whole = () => set(model.moved({ from: first, until: now + (now - first) * 0.02 }, 0, first, now));
    show($("zoom"), [chosen.all], () =>
        h(
            "div",
            { class: "zoom", role: "group", "aria-label": "Zoom of the timeline" },
            [
                ["Earlier", () => timeControl.shift(-0.5)],
                ["Later", () => timeControl.shift(0.5)],
                ["Zoom in", () => timeControl.zoom(0.5)],
                ["Zoom out", () => timeControl.zoom(2)],
                ["Whole time", () => timeControl.whole()],
            ].map(([label, handle]) => h("button", { type: "button", "data-key": `zoom ${label}`, onclick: handle }, label)),
            h(
                "button",
                {
                    type: "button",
                    "aria-pressed": String(chosen.all),
                    "data-key": "zoom everything",
                    onclick: () => {
                        chosen.all = !chosen.all;
                        draw();
                    },
                },
                "All parts",
            ),
        ),
    );
    Object.assign(timeControl, { zoom, shift, whole });
    const tracks = [...model.tracksShown(timeline, parts, chosen.all, chosen.window, now), ...clockTracks(timeline)];
    const width = Math.max(widthOf($("lines")), 600);
    $("lines").replaceChildren(lines(timeline, tracks, chosen.window, now, width));
    const marks = timeline.marks.slice(-30).reverse();
    show($("marks"), [marks, tracks.map((track) => [track.of, track.name, track.open, track.spans.at(-1)?.state])], () => [
        h(
            "details",
            { "data-key": "marks" },
            h("summary", { "data-key": "marks-summary" }, "The same in words"),
            h(
                "div",
                { class: "columns" },
                h(
                    "table",
                    {},
                    h("caption", {}, "Latest state, and since when"),
                    h(
                        "tbody",
                        {},
                        tracks.map((track) => {
                            const { state, from, until } = track.spans.at(-1);
                            const words = model.stateText(state) + (track.open ? "" : `, until ${model.clock(until)}`);
                            return h(
                                "tr",
                                {},
                                h("th", { scope: "row" }, `${track.of} ${track.name}`),
                                h("td", {}, words),
                                h("td", {}, model.clock(from)),
                            );
                        }),
                    ),
                ),
                h(
                    "table",
                    {},
                    h("caption", {}, "What was done"),
                    h(
                        "tbody",
                        {},
                        marks.map((mark) => h("tr", {}, h("th", { scope: "row" }, model.clock(mark.at)), h("td", {}, markText(mark)))),
                    ),
                ),
            ),
        ),
        legend(),
    ]);
}
const timeControl = {};

function legend() {
    const of = (state, words) => h("li", {}, h("span", { class: `swatch ${lookOf(state)}`, "aria-hidden": "true" }), words);
    return h(
        "ul",
        { class: "legend" },
        of("operational", "operational, met"),
        of("degraded", "degraded, CALL"),
        of("starting", "starting, pending, WAIT"),
        of("shut", "shut down"),
        of("down", "down, no longer met, STOP"),
        of("absent", "not listed"),
        of("unknown", "not known"),
        h("li", {}, h("span", { class: "swatch nobody", "aria-hidden": "true" }), "nobody looked"),
        h("li", {}, "◆ somebody did something"),
    );
}

/// The timeline by wheel, drag and keys.
export function handleKeys() {
    const place = $("lines");
    place.tabIndex = 0;
    place.setAttribute("role", "group");
    place.setAttribute("aria-label", "Timeline: + and − zoom, arrows move");
    place.addEventListener("keydown", (event) => {
        const done = {
            "+": () => timeControl.zoom(0.5),
            "=": () => timeControl.zoom(0.5),
            "-": () => timeControl.zoom(2),
            ArrowLeft: () => timeControl.shift(-0.25),
            ArrowRight: () => timeControl.shift(0.25),
            0: () => timeControl.whole(),
        }[event.key];
        if (!done || event.ctrlKey || event.metaKey) return;
        event.preventDefault();
        done();
    });
    const at = (event) => {
        const box = place.getBoundingClientRect();
        const share = Math.min(Math.max((event.clientX - box.left - 190) / (box.width - 202), 0), 1);
        return chosen.window.from + share * (chosen.window.until - chosen.window.from);
    };
    place.addEventListener(
        "wheel",
        (event) => {
            if (!event.ctrlKey) return; // a wheel alone scrolls the page
            event.preventDefault();
            timeControl.zoom(event.deltaY < 0 ? 0.8 : 1.25, at(event));
        },
        { passive: false },
    );
    let from = null;
    place.addEventListener("pointerdown", (event) => {
        from = event.clientX;
        place.setPointerCapture(event.pointerId);
    });
    place.addEventListener("pointermove", (event) => {
        if (from === null || !event.buttons) return;
        timeControl.shift((from - event.clientX) / (place.clientWidth - 202));
        from = event.clientX;
    });
    place.addEventListener("pointerup", () => {
        from = null;
    });
}
