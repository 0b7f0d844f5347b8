// What the engineer does from the page. Who it is the token says; what was seen goes along as the step's revision.
import { $, client, draw, known, look } from "./engineer_state.js";
import { stepNow } from "./engineer_view.js";
import { refusal } from "./rack_view.js";

async function act(path, body, step) {
    const told = $("said");
    told.textContent = "";
    const answer = await client.post(`/v1/procedures/${encodeURIComponent(known.procedure.id)}/${path}`, body, {
        ifMatch: step?.revision,
    });
    told.className = answer.problem ? "refused" : "";
    told.textContent = answer.problem ? refusal(answer) : "Done, and recorded.";
    await look().catch(() => {});
    draw();
}

const form = (handle) => (event) => {
    event.preventDefault();
    if (event.submitter?.getAttribute("aria-disabled") === "true") return;
    const given = Object.fromEntries([...new FormData(event.target)].map(([key, value]) => [key, value.trim()]));
    if (given.on_behalf_of) sessionStorage.setItem("technician", given.on_behalf_of);
    handle(given);
};
export const acts = {
    release: (step) => form(() => act("releases", { step: step.name }, step)),
    confirm: (step) => form(() => act("confirmations", { step: step.name }, step)),
    confirmFor: (step) => form((given) => act("confirmations", { step: step.name, ...given }, step)),
    undo: ({ step, revision }) => form(() => act("undos", { step }, { revision })),
    atChassis: form((given) => act("acts", { act: "at-chassis", ...given })),
    close: form(() => act("acts", { act: "close", outcome: known.procedure.phase === "backing_out" ? "backed_out" : "done" })),
    other: (plan, stops) =>
        form(({ of, ...given }) => {
            const members = { act: plan.act };
            for (const need of plan.needs) if (given[need]) members[need] = given[need];
            if (plan.needs.includes("of")) Object.assign(members, stops[Number(of)]?.members);
            const step = plan.ofStep ? stepNow(known.procedure) : null;
            if (step) members.step = step.name;
            act("acts", members, step);
        }),
};
