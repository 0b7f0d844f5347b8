// What the device printed, line by line, with what became of each line.
import { element as h } from "./parts.js";
import { clock, cutLine, span, time } from "./engineer_view.js";

const marks = {
    row: { sign: "▪", word: "read" },
    layout: { sign: "·", word: "layout" },
    aside: { sign: "–", word: "set aside" },
    unread: { sign: "!", word: "UNREAD" },
};

/// The queries, each with what is not well about its newest answer.
export function list(answers, chosen, choose) {
    return h(
        "ul",
        { class: "askings" },
        answers.map((one) =>
            h(
                "li",
                {},
                h(
                    "button",
                    {
                        type: "button",
                        "aria-pressed": String(one.asking === chosen),
                        "data-key": `asking ${one.asking}`,
                        onclick: () => choose(one.asking, null),
                    },
                    one.asking,
                    one.whole ? null : h("span", { class: "flag" }, " not whole"),
                    one.unread ? h("span", { class: "flag" }, ` ${one.unread} unread`) : null,
                ),
            ),
        ),
    );
}

const factText = (fact) => `${fact.kind} ${fact.name}: ${fact.attribute} ${fact.value}`;

function printed(line) {
    return cutLine(line).map((piece) =>
        piece.facts.length ? h("mark", { title: piece.facts.map(factText).join("\n") }, piece.text) : piece.text,
    );
}

function notes(line) {
    const all = [
        ...line.rows.map((row) => h("span", { class: "gave" }, `${row.kind} ${row.name}`)),
        line.why ? h("span", {}, line.why) : null,
        ...line.expected.map((note) =>
            h("span", { class: "flag" }, `expected ${note.text}${note.column ? ` at column ${note.column}` : ""}`),
        ),
        ...line.remarks.map((note) => h("span", { class: "flag" }, note.text)),
    ].filter(Boolean);
    return all.flatMap((one, i) => (i ? [", ", one] : [one]));
}

/// One answer. `chosen`: the line to be shown, and the capture that it was told of.
export function answer(view, chosen) {
    const another = chosen && chosen.capture && chosen.capture !== view.capture;
    return [
        h(
            "p",
            { class: "of-answer" },
            `Asked ${clock(time(view.asked))}, answered after ${span(time(view.answered) - time(view.asked))}. `,
            view.whole ? "Whole. " : h("strong", {}, `Not whole: it confirms nothing. ${view.remark} `),
            view.unread ? h("strong", {}, `${view.unread} unread. `) : "No line is unread. ",
            h("span", { class: "capture" }, `SHA-256 ${view.capture.slice(0, 12)}…`),
        ),
        another ? h("p", { class: "note" }, "A later answer has come since: this is the newest one.") : null,
        h(
            "div",
            { class: "scroll", tabindex: 0, role: "region", "aria-label": `Answer to ${view.asking}` },
            h(
                "table",
                { class: "answer" },
                h(
                    "thead",
                    {},
                    h(
                        "tr",
                        {},
                        ["Line", "Became", "As the device printed it", "What it gave"].map((text) => h("th", { scope: "col" }, text)),
                    ),
                ),
                h(
                    "tbody",
                    {},
                    view.lines.map((line) =>
                        h(
                            "tr",
                            {
                                class: `${line.mark}${chosen?.line === line.number ? " chosen" : ""}`,
                                id: `line-${line.number}`,
                                "aria-current": chosen?.line === line.number ? "true" : null,
                            },
                            h("th", { scope: "row" }, String(line.number)),
                            h(
                                "td",
                                { class: "became" },
                                h("span", { "aria-hidden": "true" }, `${marks[line.mark].sign} `),
                                marks[line.mark].word,
                            ),
                            h("td", {}, h("code", {}, printed(line))),
                            h("td", { class: "notes" }, notes(line)),
                        ),
                    ),
                ),
            ),
        ),
    ];
}
