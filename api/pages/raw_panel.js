// Below the timeline: sensors, and the device's own lines.
import * as raw from "./answers.js";
import { $, chosen, draw, known, lookAtAnswer } from "./engineer_state.js";
import * as model from "./engineer_view.js";
import { element as h, show } from "./parts.js";
import { warmth } from "./warmth.js";

export function showLine(asking, line) {
    chosen.asking = asking;
    chosen.line = line;
    known.answer = null;
    lookAtAnswer().then(() => {
        draw();
        document.getElementById(`line-${line?.line}`)?.scrollIntoView({ block: "center" });
        $("answer").querySelector(".scroll")?.focus({ preventScroll: true });
    });
}

export function drawSensors(now) {
    const { timeline, chassis } = known;
    show($("warmth"), timeline.sensors.length ? [timeline.sensors, Math.floor(now / 5_000)] : "none", () =>
        timeline.sensors.length
            ? timeline.sensors.map((sensor) => {
                  const clock = timeline.clocks.filter((one) => one.procedure === sensor.procedure).at(-1);
                  return h(
                      "figure",
                      {},
                      h(
                          "figcaption",
                          {},
                          h("b", {}, sensor.name),
                          ` ${sensor.looks.length ? `${sensor.looks.at(-1).celsius} C` : "no look yet"}`,
                          h(
                              "span",
                              {},
                              sensor.band.length
                                  ? "8 in 10 of the courses that fit the readings lie within the band"
                                  : "no forecast: cooling is not reduced, or the readings allow none",
                          ),
                      ),
                      warmth(sensor, clock, now, 20_000),
                  );
              })
            : h("p", { class: "hint" }, "A procedure that takes a fan tray out names the sensors that are drawn here."),
    );
    const readings = model.sensorReadings(chassis);
    show($("readings"), readings, () =>
        h(
            "details",
            { "data-key": "readings" },
            h("summary", { "data-key": "readings-summary" }, `All ${readings.length} readings`),
            h(
                "ul",
                { class: "facts" },
                readings.map((one) =>
                    h(
                        "li",
                        {},
                        h(
                            "button",
                            {
                                type: "button",
                                class: "line",
                                "data-key": `reading ${one.name}`,
                                onclick: () => showLine(one.asking, { line: one.line }),
                            },
                            h("span", { class: "where" }, one.name),
                            h("b", {}, one.value),
                        ),
                    ),
                ),
            ),
        ),
    );
}

export function drawRaw() {
    const pick = (asking) => showLine(asking, null);
    show($("askings"), [known.answers.map((one) => [one.asking, one.whole, one.unread]), chosen.asking], () =>
        raw.list(known.answers, chosen.asking, pick),
    );
    show($("answer"), [known.answer && { ...known.answer, asked: null, answered: null }, chosen.line], () =>
        known.answer ? raw.answer(known.answer, chosen.line) : h("p", { class: "hint" }, "No answer yet."),
    );
}
