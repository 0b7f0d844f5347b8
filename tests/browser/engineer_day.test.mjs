// A whole swap from the engineer page: by voice, by the engineer's own acts, and with a phone beside it at the rack.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { Browser, picture } from "./browser.mjs";
import { confirmByVoice, control, open, play, press, slot, tellCode, well } from "./engineer_page.mjs";
import { RackPage } from "./rack_page.mjs";
import { Site } from "./site.mjs";

let site, browser;
before(async () => ([site, browser] = await Promise.all([Site.start({ speed: 8 }), Browser.start()])));
after(async () => (await browser?.stop(), await site?.stop()));

test("the engineer plays the good day from the page, by voice and with a phone beside it", async () => {
    const id = await site.open();
    const page = await open(browser, site, "/engineer/edge-7");
    const rack = await RackPage.open(browser, site, id); // beside it, at the rack
    // The chassis that they stand at, then the first step; a code that was misheard is refused.
    await page.getByLabel("Technician, by name").fill("G. Hand");
    await page.getByLabel("Serial's last characters").fill("0017");
    await control(page, "Take what they read").click();
    await press(page, "Release prepare");
    await page.locator(".word", { hasText: "STATE MET" }).waitFor();
    await picture(page, "engineer-1280-light");
    await well(page);
    await tellCode(page, "ZZ9");
    await control(page, "Confirm on their behalf").click();
    await page.locator("#said.refused").waitFor();
    await confirmByVoice(page);

    for (const step of ["shut-planes", "shut-module", "pull-tray"]) await play(site, page, step);
    assert.match(await slot(page, "plane 3").textContent(), /shut down.*part of the work/);
    await page.locator("#clocks", { hasText: "Tray must be back in" }).waitFor();
    await play(site, page, "pull-module");
    await slot(page, "module FAB3").filter({ hasText: "not listed" }).waitFor();
    assert.match(await slot(page, "module FAB3").textContent(), /REAR 3/, "what is printed there stays");
    await play(site, page, "seat-spare", { rack });
    await control(page, "Release seat-tray").waitFor();
    await page.locator(".warmth .band").waitFor();
    await picture(page, "engineer-warming");
    const dark = await open(browser, site, "/engineer/edge-7", { viewport: { width: 1920, height: 1080 }, colorScheme: "dark" });
    await dark.locator(".warmth .band").waitFor();
    await well(dark);
    await picture(dark, "engineer-1920-dark");
    await dark.context().close();
    for (const step of ["seat-tray", "start-module", "raise-planes"]) await play(site, page, step);

    // The timeline has it all, and zoom shows less of it.
    await press(page, "Close the procedure");
    await page.locator("#step h2", { hasText: "Closed" }).waitFor();
    const ticks = () => page.locator(".lines .tick text").allTextContents();
    const before = await ticks();
    await page.getByRole("button", { name: "Zoom in" }).click();
    assert.notDeepEqual(await ticks(), before);
    await page.locator("#lines").focus();
    await page.keyboard.press("0");
    await page.locator("#marks summary").click();
    const done = await page.locator("#marks").textContent();
    for (const text of ["pull-module released by G. Far", "pull-module confirmed by G. Far for G. Hand", "seat-spare confirmed by T. Near"])
        assert.ok(done.includes(text), text);
    assert.match(await page.locator(".lines").textContent(), /cooling reduced/);
    await page.locator("#why", { hasText: "The procedure is closed" }).waitFor(); // not what was said before
    await picture(page, "engineer-done");
    await well(page);
    await page.context().close();
});
