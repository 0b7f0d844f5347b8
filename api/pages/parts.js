// Small pieces of page, made of elements and text nodes alone: what a device printed is never read as HTML.

/// element("p", { class: "line" }, "text", …)
export function element(name, attributes = {}, ...children) {
    const made = document.createElement(name);
    for (const [attribute, value] of Object.entries(attributes))
        if (value !== null && value !== false) made.setAttribute(attribute, value === true ? "" : value);
    made.append(...children.filter((child) => child !== null));
    return made;
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
