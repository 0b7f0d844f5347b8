// The engineer page: one chassis under work, or all of them at a glance.
import { $, client, draw, drawBy, keepLooking, known, name } from "./engineer_state.js";
import * as model from "./engineer_view.js";
import { patterns } from "./face.js";
import { drawGlance } from "./glance.js";
import { drawRack } from "./hand_out.js";
import { element as h, show } from "./parts.js";
import { drawRaw, drawSensors } from "./raw_panel.js";
import { drawSeen } from "./seen_panel.js";
import { drawTime, handleKeys } from "./time_panel.js";
import { drawWork } from "./work_panel.js";

function age(now) {
    const chassis = known.chassis;
    if (!chassis) return "";
    const seen = model.time(chassis.last_answer);
    const lost = chassis.session === "connected" ? "" : `Router session ${chassis.session}: ${chassis.session_text} `;
    const session = lost + (chassis.held_up ? `Looks are held up: ${chassis.held_up}. ` : "");
    if (seen === null) return `${session}No answer yet.`;
    return `${session}Last look ${model.span(now - seen)} ago${now > model.time(chassis.valid_until) ? ": too old to act upon" : ""}.`;
}

function drawAll() {
    const now = client.now();
    show($("trouble"), known.trouble, () => (known.trouble ? h("p", {}, known.trouble) : []));
    drawGlance(now);
    if (!name || !known.chassis) return;
    $("session").textContent = `${known.chassis.family}, serial ${known.chassis.serial ?? "not known"}. ${age(now)}`;
    drawWork(now);
    drawSeen(now);
    drawTime(now);
    drawSensors(now);
    drawRaw();
    drawRack();
}

function begin() {
    document.body.append(patterns());
    if (!name) {
        $("name").textContent = "All chassis";
        $("others").remove();
        document.querySelector(".skip").remove();
        $("main").replaceChildren(h("section", { id: "glance", "aria-label": "Chassis" }));
    } else {
        $("name").textContent = name;
        document.title = `${name}, Slotwitness`;
        handleKeys();
    }
    drawBy(drawAll);
    setInterval(draw, 1_000);
    keepLooking();
}

begin();
