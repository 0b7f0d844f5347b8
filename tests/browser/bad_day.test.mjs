// A fan tray is replaced, and things go wrong: the wrong one is pulled, the daemon is gone, nobody puts the tray back,
// something is told before it is done.
import assert from "node:assert/strict";
import { after, before, describe, test } from "node:test";

import { accessible, Browser, fitsTheHand, small } from "./browser.mjs";
import { RackPage } from "./rack_page.mjs";
import { Site, stageOf } from "./site.mjs";

let browser;
before(async () => (browser = await Browser.start()));
after(() => browser?.stop());

/// A chassis and a daemon of its own, and the page of a technician who stands there.
async function withTechnician(use, { given, size, undo } = {}) {
    const site = await Site.start({ procedure: "replace-fan-tray", undo });
    try {
        const id = await site.open(given);
        const rack = await RackPage.open(browser, site, id, { size });
        await rack.named("0017");
        await site.release(id, "prepare");
        await rack.shows("STATE MET");
        await use(site, id, rack);
        assert.deepEqual(rack.page.mistakes, []);
    } finally {
        await site.stop();
    }
}

/// As above, up to where the tray may be pulled.
const withTrayToPull = (use, more) => withTechnician(async (site, id, rack) => {
    await rack.confirm();
    await site.release(id, "pull-tray");
    await rack.shows("STATE MET");
    await use(site, id, rack);
}, more);

// They wait most of their time.
describe("a bad day", { concurrency: true }, () => {
test("the wrong tray is pulled: STOP names it, and stays though the daemon is lost", () => withTrayToPull(async (site, id, rack) => {
    await rack.page.evaluate(() => window.scrollTo(0, document.body.scrollHeight));
    await rack.page.locator("#bar").filter({ hasText: "STATE MET" }).waitFor();
    await site.order("technician pull tray TRAY1");
    await rack.shows("STOP", /TRAY1/);
    assert.match(await rack.text("#advice"), /Finish seating\.\s+Put into the slot whichever tray is at hand/);
    await rack.page.locator("#bar").waitFor({ state: "hidden" }); // the word itself came before the eyes
    assert.equal(await rack.page.locator("#confirm").isVisible(), false);
    assert.equal(await rack.page.locator("#wrong").isVisible(), false, "one advice at a time");
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
}, { size: small }));

test("the daemon is killed: the page says WAIT by itself, offers nothing, and comes back with it", () => withTrayToPull(async (site, id, rack) => {
    await site.killDaemon();
    await rack.shows("WAIT", /Do not go on\.\s+The daemon has not answered for \d+ s\./);
    assert.equal(await rack.page.locator("#confirm").isDisabled(), true);
    assert.equal(await rack.page.locator("#code").isVisible(), false);
    await rack.picturesOfBothThemes("lost-daemon");
    await accessible(rack.page);
    await site.startDaemon();
    await rack.shows("STATE MET");
    await rack.confirm();
}));

test("the tray is out too long: STOP, and the clock says by how much", () => withTrayToPull(async (site, id, rack) => {
    await site.order("technician pull tray TRAY2");
    await rack.confirm();
    const left = rack.page.locator(".clock .left");
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
}, { given: { "cooling-limit": "6 s by site rule 7" } }));

test("a confirmation that came too early is taken back, and may be given again", () => withTechnician(async (site, id, rack) => {
    await rack.confirm();
    const undo = rack.page.getByRole("button", { name: /^Undo: it is not done \(\d+ s\)$/ });
    await undo.waitFor();
    await rack.picturesOfBothThemes("undo");
    await fitsTheHand(rack.page);
    await accessible(rack.page);
    await undo.click();
    await rack.shows("STATE MET");
    assert.equal(stageOf((await site.api("GET", `/v1/procedures/${id}`)).body, "prepare"), "released");
    await rack.confirm();
    await undo.waitFor();
    assert.equal(await rack.page.locator("#notice").isVisible(), false);
}, { undo: "30 s" }));

test("a confirmation stands once the time to take it back has run out, and the next step opens", () => withTechnician(async (site, id, rack) => {
    const done = await rack.text("#step-act");
    await rack.confirm();
    await site.until(id, (seen) => stageOf(seen, "prepare") === "done");
    await rack.page.getByRole("button", { name: /^Undo/ }).waitFor({ state: "hidden" });
    await site.release(id, "pull-tray");
    await rack.shows("STATE MET", /TRAY2/);
    assert.notEqual(await rack.text("#step-act"), done);
}, { undo: "2 s" }));
});
