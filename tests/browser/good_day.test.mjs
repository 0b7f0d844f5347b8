// A whole swap: what the technician does is told on the page, what the engineer does by the API.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { accessible, Browser, fitsTheHand, picture } from "./browser.mjs";
import { RackPage } from "./rack_page.mjs";
import { Site } from "./site.mjs";

let site, browser;
before(async () => ([site, browser] = await Promise.all([Site.start(), Browser.start()])));
after(async () => (await browser?.stop(), await site?.stop()));

test("the technician is led through the whole work, and the procedure closes as done", async () => {
    const id = await site.open();
    const rack = await RackPage.open(browser, site, id);
    await rack.shows("WAIT");
    await rack.named("0017");

    const atTheRack = async (step, orders) => {
        await site.release(id, step);
        await rack.shows("STATE MET");
        for (const order of orders) await site.order(`technician ${order}`);
        await rack.confirm();
    };
    const farAway = async (step, orders) => {
        await site.release(id, step);
        for (const order of orders) await site.order(`engineer ${order}`);
        await site.confirm(id, step);
    };

    await atTheRack("prepare", []);
    await farAway("shut-planes", ["release plane 3", "release plane 4"]);
    await rack.shows("WAIT");
    await farAway("shut-module", ["release module FAB3"]);

    await site.release(id, "pull-tray");
    await rack.shows("STATE MET");
    const now = await site.until(id, (seen) => seen.word === "STATE MET");
    assert.equal(await rack.text("#code-letters"), now.code, "the code is the daemon's own");
    assert.equal(await rack.text("#code-spelled"), now.code_spelled);
    assert.match(await rack.text("#step-act"), /Release fan tray TRAY2/);
    assert.match(await rack.text("#step-cautions"), /WARNING\s+Blades turn/);
    assert.match(await rack.text("#wrong-first"), /Put it back/);
    assert.match(await rack.text("#report-lines"), /FAB3 /, "the device's own line");
    await rack.picturesOfBothThemes("state-met");
    await accessible(rack.page);
    await fitsTheHand(rack.page);

    await atTheRack("pull-tray", ["pull tray TRAY2"]);
    const left = rack.page.locator(".clock .left").last(); // the other one is the time to turn back
    await left.filter({ hasText: /^9 min \d\d s$/ }).waitFor();
    const once = await left.innerText();
    await left.filter({ hasNotText: once }).waitFor(); // it counts
    assert.ok((await left.innerText()) < once, "down");

    await atTheRack("pull-module", ["pull module FAB3"]);
    await atTheRack("seat-spare", ["seat module FAB3 serial QL40100099"]);
    await atTheRack("seat-tray", ["seat tray TRAY2"]);
    await rack.page.locator("#clocks").waitFor({ state: "hidden" });
    await farAway("start-module", ["engage module FAB3"]);
    await farAway("raise-planes", ["engage plane 3", "engage plane 4"]);

    await site.until(id, (seen) => seen.handback?.at_end);
    await site.close(id, "done");
    await rack.page.getByText("The procedure is closed.").first().waitFor();
    assert.equal(await rack.page.locator("#confirm").isVisible(), false);
    await picture(rack.page, "closed");
    assert.deepEqual(rack.page.mistakes, []);
});
