// Puts a view on the rack page. Touches only what has changed, so that focus, selection and a screen reader's place stay.
import { at, duration, element, localTime, setText, withLocalTimes } from "./parts.js";
import { shapeOf, words } from "./words.js";

/// `view`: of rackView. `isSending`: an act is under way, so that none is sent twice.
export function showView(view, isSending) {
    showPlate(view);
    showClocks(view.clocks);
    showStep(view.step);
    showReport(view.report);
    showNext(view.next);
    showHand(view, isSending);
    at("serial").hidden = !view.serial;
    at("serial-send").disabled = !view.serial?.isOpen || isSending;
    announce(view);
}

function showPlate({ word, text, note, report, advice, code, place }) {
    if (at("word").textContent !== word || !at("shape").firstChild) {
        at("plate").className = `plate tone-${words[word].tone}`;
        at("shape").replaceChildren(shapeOf(word));
        at("bar").className = `bar tone-${words[word].tone}`;
        at("bar-shape").replaceChildren(shapeOf(word));
        setText(at("bar-word"), word);
        if (word === "STOP") seek();
    }
    setText(at("word"), word);
    document.title = `${word} · ${place || "at the rack"}`;
    if (place) setText(at("place"), place);
    setText(at("text"), withLocalTimes(text));
    showText("note", note);
    showText("age", report && (report.age === null ? "No look yet." : `Last look asked ${duration(report.age)} ago.`));
    showAdvice("advice", advice);
    at("code").hidden = !code;
    setText(at("code-letters"), code?.letters ?? "");
    setText(at("code-spelled"), code?.spelled ?? "");
}

/// Brings what counts before the eyes of somebody who has read on below.
function seek() {
    at("plate").scrollIntoView({ block: "start" });
    if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.([400, 200, 400]);
}

/// The word goes along while its plate is out of sight.
new IntersectionObserver(([plate]) => (at("bar").hidden = plate.isIntersecting)).observe(at("word"));

function showText(name, text) {
    at(name).hidden = !text;
    setText(at(name), text ?? "");
}

function showAdvice(name, advice) {
    at(name).hidden = !advice;
    setText(at(`${name}-first`), advice ? `${advice.first}.` : "");
    setText(at(`${name}-say`), advice?.say ?? "");
}

function showClocks(clocks) {
    at("clocks").hidden = clocks.length === 0;
    refill("clocks", clocks.map(({ name, why }) => name + why), clocks, ({ name, why }) =>
        element("div", { class: "clock" },
            element("h2", {}, name), element("p", { class: "left" }), element("p", { class: "until" }),
            why ? element("p", { class: "quiet" }, withLocalTimes(why)) : null));
    clocks.forEach(({ left, at: time }, index) => {
        const clock = at("clocks").children[index];
        clock.classList.toggle("over", left <= 0);
        setText(clock.querySelector(".left"), left > 0 ? duration(left) : `over by ${duration(-left)}`);
        setText(clock.querySelector(".until"), `by ${localTime(time)}`);
    });
}

const cautionItem = ({ signal, text }) =>
    element("li", { class: `caution ${signal}` }, element("b", {}, signal), " ", text);

function showStep(step) {
    at("step").hidden = !step;
    if (!step) return;
    at("step").classList.toggle("mine", step.isMine && step.isOpen);
    setText(at("step-place"), step.place);
    setText(at("step-who"), step.who);
    setText(at("step-act"), step.act);
    refill("step-cautions", step.cautions, step.cautions, cautionItem);
    at("step-questions").hidden = !step.questions;
    setText(at("step-questions-text"), step.questions ?? "");
    showAdvice("wrong", step.ifWrong);
}

const linesAtOnce = 2;
const lineItem = ({ asking, line, text }) =>
    element("li", {},
        element("span", { class: "number" }, line > 0 ? `${asking}, line ${line}` : `${asking}, the whole answer`),
        line > 0 ? element("samp", {}, text) : null);

function showReport(report) {
    at("report").hidden = !report;
    if (!report) return;
    showText("report-sentence", report.sentence);
    showText("report-held", report.held && `So far for ${report.held.has} s of ${report.held.needs} s.`);
    showText("report-because", withLocalTimes(report.because));
    const [first, more] = [report.lines.slice(0, linesAtOnce), report.lines.slice(linesAtOnce)];
    refill("report-lines", first, first, lineItem);
    at("report-more").hidden = more.length === 0;
    setText(at("report-more-count"), `${more.length} more ${more.length === 1 ? "line" : "lines"}`);
    refill("report-more-lines", more, more, lineItem);
}

function showNext(next) {
    at("next").hidden = !next;
    if (!next) return;
    setText(at("next-act"), next.act);
    refill("next-cautions", next.cautions, next.cautions, cautionItem);
}

/// Fills a list anew only if what it is made of has changed.
function refill(name, key, values, make) {
    const made = JSON.stringify(key);
    if (at(name).dataset.made === made) return;
    at(name).dataset.made = made;
    at(name).replaceChildren(...values.map(make));
}

function showHand({ confirm, undo }, isSending) {
    at("hand").hidden = !confirm && !undo;
    at("confirm").hidden = !confirm;
    if (confirm) {
        setText(at("confirm"), isSending ? "Sending …" : confirm.label);
        at("confirm").classList.toggle("main", confirm.isMain);
        at("confirm").disabled = !confirm.isOpen || isSending;
    }
    at("undo").hidden = !undo;
    if (undo) {
        setText(at("undo"), `Undo: it is not done (${duration(undo.left)})`);
        at("undo").disabled = !undo.isOpen || isSending;
    }
}

let announced = "";

/// A screen reader is told when the word changes or another step is under way, not at each look; STOP at once, and also
/// when something more was lost.
function announce({ word, text, advice, step }) {
    const key = `${word} ${step?.name} ${step?.who} ${word === "STOP" ? text : ""}`;
    if (key === announced) return;
    announced = key;
    const all = [`${word}.`, withLocalTimes(text), advice && `${advice.first}. ${advice.say}`,
        word !== "STOP" && step && `${step.who}: ${step.act}`].filter(Boolean).join(" ");
    setText(at("urgent"), word === "STOP" ? all : "");
    setText(at("polite"), word === "STOP" ? "" : all);
}
