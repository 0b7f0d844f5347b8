// What is handed to the person at the rack: the address of the procedure's page with a token of its own, for the camera
// of their phone. It is kept in this page's memory alone, and gone when it is hidden or the page is left.
import { $, client, draw, known } from "./engineer_state.js";
import { drawn, element as h, localTime, show } from "./parts.js";
import { refusal, said } from "./rack_view.js";

let made = null;
let told = "";

async function make(event) {
    event.preventDefault();
    const person = new FormData(event.target).get("person").trim();
    const { status, body, problem } = await client.post(`/v1/procedures/${encodeURIComponent(known.procedure.id)}/rack-tokens`, { person });
    made = body;
    told = problem ? (status === 0 ? refusal({ status, problem }) : `Not made. ${said(problem)}`) : "";
    draw();
}

function hide() {
    made = null;
    draw();
}

const code = ({ side, path }) =>
    h("div", { id: "qr" },
        drawn("svg", { viewBox: `0 0 ${side} ${side}`, role: "img", "aria-label": "The address as a QR code", "shape-rendering": "crispEdges" },
            drawn("path", { d: path })));

const handedOut = (rack) => [
    rack.qr && code(rack.qr),
    h("p", { class: "address" }, h("code", {}, rack.address)),
    h("p", {}, `For ${rack.person}, until ${localTime(rack.expires)} or the end of the procedure. Whoever sees this holds the token; `,
        h("code", {}, `slotwitness token revoke ${rack.id}`), " beside the daemon ends it."),
    h("button", { type: "button", "data-key": "hide-rack", onclick: hide }, "Hide it"),
];

const asked = () => [
    h("p", {}, "The person at the rack opens the page of this procedure with their phone's camera."),
    h("form", { onsubmit: make },
        h("label", {}, h("span", {}, "Who stands at the rack"), h("input", { name: "person", required: true, maxlength: 64, autocomplete: "off", "data-key": "rack-person" })),
        h("button", { "data-key": "make-rack" }, "Make their address")),
    h("p", { class: "refused", role: "status" }, told),
];

export function drawRack() {
    const { procedure } = known;
    const isOpen = procedure && procedure.phase !== "closed";
    if (made?.procedure !== procedure?.id || !isOpen) made = null;
    show($("hand-out"), [isOpen && procedure.id, made?.id, told], () =>
        !isOpen ? h("p", { class: "hint" }, "While a procedure is under way, an address for the person at the rack can be made here.") : made ? handedOut(made) : asked());
}
