// The engineer page as a person has it before them, and what that person does with it.
import assert from "node:assert/strict";

import { accessible } from "./browser.mjs";

const laptop = { viewport: { width: 1280, height: 800 } };

/// The page as the engineer has it; or another person, by their token.
export const open = (browser, site, path, { token = site.engineer, ...more } = {}) =>
    browser.open(`${site.url}${path}#token=${token}`, { ...laptop, ...more });

/// What people do at each step of the good day.
export const orders = {
    prepare: [],
    "shut-planes": ["engineer release plane 3", "engineer release plane 4"],
    "shut-module": ["engineer release module FAB3"],
    "pull-tray": ["technician pull tray TRAY2"],
    "pull-module": ["technician pull module FAB3"],
    "seat-spare": ["technician seat module FAB3 serial QL40100099"],
    "seat-tray": ["technician seat tray TRAY2"],
    "start-module": ["engineer engage module FAB3"],
    "raise-planes": ["engineer engage plane 3", "engineer engage plane 4"],
};

export const control = (page, text) => page.locator("button.act:not([aria-disabled])", { hasText: text });
export const slot = (page, name) => page.locator(`.slot[data-key="${name}"]`);

export async function well(page) {
    assert.deepEqual(page.mistakes, []);
    await accessible(page);
}

/// Tells the technician's confirmation as an engineer does who hears it.
export async function confirmByVoice(page) {
    await press(page, "Confirm on their behalf", { fill: () => tellCode(page) });
}
export async function tellCode(page, code) {
    await page.getByLabel("Technician, by name").fill("G. Hand");
    await page.getByLabel("Code as they read it back").fill(code ?? (await page.locator("#step .code b").textContent()));
}

/// Presses until it is taken: a release is refused in the very instant in which a look is under way.
export async function press(page, text, { fill = async () => {}, atMost = 5 } = {}) {
    for (let i = 1; ; ++i) {
        await fill();
        await control(page, text).click();
        await page.locator("#said:not(:empty)").waitFor();
        const told = await page.locator("#said").textContent();
        if (told.startsWith("Done")) return;
        assert.ok(i < atMost, `${text}: ${told}`);
    }
}

/// Releases the step, does what it says, and tells so: by voice, as one's own act, or on the phone.
export async function play(site, page, step, { rack = null } = {}) {
    await press(page, `Release ${step}`);
    await rack?.shows("STATE MET"); // the act itself may end what the step waited for
    for (const order of orders[step]) await site.order(order);
    if (rack) return rack.confirm();
    await page.locator("#step .actor", { hasText: "released" }).waitFor();
    if (await page.locator("#step .actor", { hasText: "engineer" }).count()) return press(page, `confirm ${step}`);
    await confirmByVoice(page);
}
