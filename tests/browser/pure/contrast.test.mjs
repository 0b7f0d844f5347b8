// Contrast by WCAG 2.2, "relative luminance" and 1.4.6: 7:1 for text, 1.4.11: 3:1 for the edges of controls.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

const css = readFileSync(new URL("../../../api/pages/base.css", import.meta.url), "utf8");
const colours = (text) => Object.fromEntries([...text.matchAll(/--([a-z-]+): (#[0-9a-f]{6});/g)].map(([, name, value]) => [name, value]));
const dark = css.indexOf("prefers-color-scheme: dark");
const light = colours(css.slice(0, dark));
const themes = { light, dark: { ...light, ...colours(css.slice(dark)) } };

function luminance(colour) {
    const [r, g, b] = [1, 3, 5].map((at) => parseInt(colour.slice(at, at + 2), 16) / 255)
        .map((c) => (c <= 0.04045 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}
function contrast(one, other) {
    const [bright, dim] = [luminance(one), luminance(other)].sort((a, b) => b - a);
    return (bright + 0.05) / (dim + 0.05);
}

test("black on white is 21:1", () => assert.equal(contrast("#000000", "#ffffff"), 21));

const texts = [["ink", "paper"], ["ink", "sheet"], ["ink", "mark"], ["quiet", "paper"], ["quiet", "sheet"], ["accent", "paper"], ["accent", "sheet"],
    ["on-accent", "accent"], ["on-fill", "fill-met"], ["on-fill", "fill-wait"], ["on-fill", "fill-call"], ["on-fill", "fill-stop"], ["wait", "sheet"], ["call", "sheet"], ["stop", "sheet"]];
const edges = [["line", "paper"], ["line", "sheet"]];

for (const [name, theme] of Object.entries(themes))
    test(`every text and edge of the ${name} theme stands out`, () => {
        for (const [pairs, least] of [[texts, 7], [edges, 3]])
            for (const [one, other] of pairs) assert.ok(contrast(theme[one], theme[other]) >= least, `${one} on ${other}: ${contrast(theme[one], theme[other]).toFixed(2)}`);
    });
