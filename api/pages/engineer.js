// The engineer page: one chassis under work, or all of them at a glance.
import { $, client, draw, drawBy, keepLooking, known, name } from "./engineer_state.js";
import { patterns } from "./face.js";
import { drawGlance } from "./glance.js";
import { drawRack } from "./hand_out.js";
import { element as h, show } from "./parts.js";
import { drawRaw, drawSensors } from "./raw_panel.js";
import { drawSeen } from "./seen_panel.js";
import { lookText, sessionView } from "./session_view.js";
import { drawTime, handleKeys } from "./time_panel.js";
import { drawWork } from "./work_panel.js";

function drawSession(now) {
    const { family, serial } = known.chassis;
    $("session").textContent = `${family}, serial ${serial ?? "not known"}. ${lookText(known.chassis, now)}`;
    const view = sessionView(known.chassis, now);
    show($("way"), view, () =>
        Object.entries(view)
            .filter(([, text]) => text)
            .map(([what, text]) => h("li", { class: what }, text)),
    );
}

function drawAll() {
    const now = client.now();
    show($("trouble"), known.trouble, () => (known.trouble ? h("p", {}, known.trouble) : []));
    drawGlance(now);
    if (!name || !known.chassis) return;
    drawSession(now);
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
