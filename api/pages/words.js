// The four words, each with a shape of its own outline, so that nobody needs colour to tell them apart. Shapes are
// drawn in a box of 48; `tone` is a class of base.css.
export const words = {
    "STATE MET": { tone: "met", shape: "M24 3a21 21 0 1 1 0 42a21 21 0 1 1 0-42zM13 25l8 8 15-17" },
    WAIT: { tone: "wait", shape: "M9 4h30M9 44h30M12 4c0 12 12 14 12 20S12 32 12 44M36 4c0 12-12 14-12 20s12 8 12 20" },
    CALL: { tone: "call", shape: "M24 3l21 21-21 21L3 24zM24 14v12M24 32v3" },
    STOP: { tone: "stop", shape: "M15 3h18l12 12v18l-12 12H15L3 33V15zM15 24h18" },
};

/// What is first to do, in words for the person (`advice.first`, `if_wrong.first`).
const firsts = {
    freeze: "Freeze",
    "finish seating": "Finish seating",
    "put back": "Put it back",
    call: "Call the engineer",
};
export const firstWord = (first) => firsts[first] ?? first;

const svg = "http://www.w3.org/2000/svg";

/// The shape of a word as an element; decoration, since the word itself stands beside it.
export function shapeOf(word) {
    const picture = document.createElementNS(svg, "svg");
    picture.setAttribute("viewBox", "0 0 48 48");
    picture.setAttribute("aria-hidden", "true");
    picture.setAttribute("class", "shape");
    const path = document.createElementNS(svg, "path");
    path.setAttribute("d", words[word].shape);
    picture.append(path);
    return picture;
}
