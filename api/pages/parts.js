// Small pieces of page, made of elements and text nodes alone: what a device printed is never read as HTML.

/// The element of this id.
export const at = (id) => document.getElementById(id);

/// element("p", { class: "line", onclick: handler }, "text", …): attributes and children that are null, undefined or
/// false are left out; children may stand in lists.
export const element = (name, attributes = {}, ...children) => filled(document.createElement(name), attributes, children);

/// The same for a part of a drawing.
export const drawn = (name, attributes = {}, ...children) =>
    filled(document.createElementNS("http://www.w3.org/2000/svg", name), attributes, children);

const isSomething = (value) => value !== null && value !== undefined && value !== false;

function filled(made, attributes, children) {
    for (const [attribute, value] of Object.entries(attributes).filter(([, each]) => isSomething(each)))
        if (attribute.startsWith("on")) made.addEventListener(attribute.slice(2), value);
        else made.setAttribute(attribute, value === true ? "" : value);
    made.append(...children.flat(Infinity).filter(isSomething));
    return made;
}

/// How wide a place is in sixteenths of a rem: a drawing of that width grows with the browser's size of text.
export const widthOf = (place) => Math.round((place.clientWidth * 16) / parseFloat(getComputedStyle(document.documentElement).fontSize));

/// Puts what `make` makes of `value` into `place`, if it is another value than the one before. The keyboard's focus,
/// what was typed and what was opened stay as they were, by `data-key`.
export function show(place, value, make) {
    const text = JSON.stringify(value);
    if (place.shownValue === text) return;
    place.shownValue = text;
    const keyed = (selector) => [...place.querySelectorAll(selector)];
    const focus = place.contains(document.activeElement) ? document.activeElement.dataset.key : null;
    const typed = new Map(keyed("input[data-key]").map((each) => [each.dataset.key, each.value]));
    const open = new Set(keyed("details[open][data-key]").map((each) => each.dataset.key));
    place.replaceChildren(...[make(value)].flat(Infinity).filter(isSomething));
    for (const each of keyed("input[data-key]")) if (typed.has(each.dataset.key)) each.value = typed.get(each.dataset.key);
    for (const each of keyed("details[data-key]")) if (open.has(each.dataset.key)) each.open = true;
    if (focus) place.querySelector(`[data-key="${CSS.escape(focus)}"]`)?.focus({ preventScroll: true });
}

/// Sets the text only where it differs, so that a screen reader is told of changes alone.
export function setText(target, text) {
    if (target.textContent !== text) target.textContent = text;
}

/// "7 s", "4 min 05 s", "1 h 02 min"
export function duration(ms) {
    const s = Math.max(0, Math.floor(ms / 1000));
    const two = (n) => String(n).padStart(2, "0");
    if (s < 60) return `${s} s`;
    if (s < 3600) return `${Math.floor(s / 60)} min ${two(s % 60)} s`;
    return `${Math.floor(s / 3600)} h ${two(Math.floor((s % 3600) / 60))} min`;
}

const instant = /\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(?:\.\d+)?Z/g;
const inSeconds = { hour: "2-digit", minute: "2-digit", second: "2-digit", hourCycle: "h23" };

/// The time where the person is, with the day unless it is today's.
export function localTime(text, today = new Date()) {
    const time = new Date(text);
    const isToday = time.toDateString() === today.toDateString();
    return time.toLocaleString([], isToday ? inSeconds : { ...inSeconds, year: "numeric", month: "short", day: "numeric" });
}

/// The daemon's words with its instants (RFC 3339) as a person reads them off a clock.
export const withLocalTimes = (text) => text.replaceAll(instant, (found) => localTime(found));
