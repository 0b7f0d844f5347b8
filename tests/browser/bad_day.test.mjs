// A fan tray is replaced, and things go wrong: the wrong one is pulled, the daemon is gone, nobody puts the tray back.
import assert from "node:assert/strict";
import { after, afterEach, before, beforeEach, test } from "node:test";

import { accessible, Browser, fitsTheHand, small } from "./browser.mjs";
import { RackPage } from "./rack_page.mjs";
import { Site } from "./site.mjs";

let site, browser, rack;
before(async () => (browser = await Browser.start()));
after(() => browser?.stop());
beforeEach(async () => (site = await Site.start({ procedure: "replace-fan-tray" })));
afterEach(() => site?.stop());

/// The page of a technician who may pull the tray now.
async function readyToPull(given, size) {
    const id = await site.open(given);
    rack = await RackPage.open(browser, site, id, { size });
    await rack.named("0017");
    await site.release(id, "prepare");
    await rack.shows("STATE MET");
    await rack.confirm();
    await site.release(id, "pull-tray");
    await rack.shows("STATE MET");
    return id;
}

test("the wrong tray is pulled: STOP names it, and stays though the daemon is lost", async () => {
    await readyToPull({}, small);
    await site.order("technician pull tray TRAY1");
    await rack.shows("STOP", /TRAY1/);
    assert.match(await rack.text("#advice"), /Finish seating\.\s+Put into the slot whichever tray is at hand/);
    assert.equal(await rack.page.locator("#confirm").isVisible(), false);
    assert.match(await rack.page.locator("#urgent").textContent(), /^STOP\. .*TRAY1.*Finish seating/, "said at once to who hears the page");
    assert.equal(await rack.page.locator("#polite").textContent(), "");
    await rack.picturesOfBothThemes("stop");
    await accessible(rack.page);
    await fitsTheHand(rack.page);

    await site.killDaemon();
    await rack.shows("STOP", /has not answered for \d+ s\. This is the last that it said: it counts\./);
    await site.startDaemon();
    await rack.page.locator("#note").waitFor({ state: "hidden" });
    await rack.shows("STOP", /TRAY1/);
    assert.deepEqual(rack.page.mistakes, []);
});

test("the daemon is killed: the page says WAIT by itself, offers nothing, and comes back with it", async () => {
    await readyToPull();
    await site.killDaemon();
    await rack.shows("WAIT", /Do not go on\.\s+The daemon has not answered for \d+ s\./);
    assert.equal(await rack.page.locator("#confirm").isDisabled(), true);
    assert.equal(await rack.page.locator("#code").isVisible(), false);
    await rack.picturesOfBothThemes("lost-daemon");
    await accessible(rack.page);
    await site.startDaemon();
    await rack.shows("STATE MET");
    await rack.confirm();
    assert.deepEqual(rack.page.mistakes, []);
});

test("the cooling clock counts down while the tray is out, and says by how much it was passed", async () => {
    const id = await readyToPull({ "cooling-limit": "6 s by site rule 7" });
    await site.order("technician pull tray TRAY2");
    await rack.confirm();
    const left = rack.page.locator(".clock .left");
    await left.filter({ hasText: /^[1-5] s$/ }).waitFor();
    await site.release(id, "seat-spare");
    await rack.shows("STOP", /TRAY2 has been out too long/);
    await left.filter({ hasText: /^over by \d+ s$/ }).waitFor();
    await rack.picturesOfBothThemes("cooling");
    await accessible(rack.page);
    await site.order("technician seat tray TRAY2 serial QL40400099");
    await site.api("POST", `/v1/procedures/${id}/acts`, { act: "answer", reason: "The tray is in.", of: "cooling" });
    await rack.shows("CALL", /G\. Far has answered for it/);
    await rack.picturesOfBothThemes("call");
    await rack.confirm(); // the tray is in: this may be told under CALL as well
    await rack.page.locator("#clocks").waitFor({ state: "hidden" });
    assert.deepEqual(rack.page.mistakes, []);
});
