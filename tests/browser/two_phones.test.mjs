// What the way to the daemon does to two people at one rack.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";

import { accessible, Browser, desktop, fitsTheHand, small } from "./browser.mjs";
import { RackPage } from "./rack_page.mjs";
import { Site, stepOf } from "./site.mjs";

let site, browser, id, rack;
before(async () => {
    [site, browser] = await Promise.all([Site.start({ procedure: "replace-fan-tray" }), Browser.start()]);
    id = await site.open();
    rack = await RackPage.open(browser, site, id, { size: small });
});
after(async () => (await browser?.stop(), await site?.stop()));

test("the serial of another chassis is STOP until a named person answers, also once the right one was read", async () => {
    await rack.shows("WAIT");
    await rack.named("9999");
    await rack.shows("STOP", /You may be at another chassis/);
    assert.equal(await rack.page.locator("#report").isVisible(), false, "it is of another chassis");
    await rack.picturesOfBothThemes("another-chassis");
    await accessible(rack.page);
    await fitsTheHand(rack.page);
    await rack.named("0017");
    await site.until(id, (seen) => seen.right_chassis.same === "true");
    await rack.shows("STOP", /0017/);
    await site.api("POST", `/v1/procedures/${id}/acts`, { act: "answer", of: "chassis", reason: "It was read from the next rack." });
    await rack.shows("WAIT");
    await rack.page.locator("#serial").waitFor({ state: "hidden" });
});

test("what the daemon refuses is told with its remedy", async () => {
    await rack.page.route("**/confirmations", (route) => route.fulfill({ status: 403, contentType: "application/problem+json",
        body: JSON.stringify({ title: "insufficient scope", status: 403, detail: "The token is for another procedure.", remedy: "Use the token that was made for this procedure." }) }));
    await site.release(id, "prepare");
    await rack.shows("STATE MET");
    await rack.page.locator("#confirm").click();
    await rack.page.locator("#notice").filter({ hasText: "Not taken. The token is for another procedure. Use the token that was made for this procedure." }).waitFor();
    await rack.page.getByRole("button", { name: "I have read it" }).click();
    assert.equal(await rack.page.locator("#notice").isVisible(), false);
    await rack.page.unroute("**/confirmations");
});

test("reload, a lost network and its return: the token stays in the tab, and the page comes back to what holds", async () => {
    assert.equal(new URL(rack.page.url()).hash, "");
    await rack.page.reload();
    await rack.shows("STATE MET");
    await rack.page.context().setOffline(true);
    await rack.shows("WAIT", /has not answered/);
    await rack.page.context().setOffline(false);
    await rack.shows("STATE MET");
});

test("two phones on different revisions: one confirmation counts, and the other person is told", async () => {
    const other = await RackPage.open(browser, site, id, { person: "S. Second", size: desktop });
    await other.shows("STATE MET");
    await other.loses(`${site.url}/v1/procedures/${id}`);
    await rack.confirm();
    await other.page.locator("#confirm").click();
    await other.page.locator("#notice").waitFor();
    assert.match(await other.text("#notice"), /Somebody else may have acted\. Read what is shown now before you act\./);
    await other.shows("WAIT", /It is not known whether it is still so/);
    assert.equal(await other.page.locator("#confirm").isDisabled(), true);
    await other.picturesOfBothThemes("conflict");
    await accessible(other.page);
    await other.finds(`${site.url}/v1/procedures/${id}`);
    const step = stepOf((await site.api("GET", `/v1/procedures/${id}`)).body, "prepare");
    assert.equal(step.confirmed_by, "T. Near");
    await other.page.locator("#step-place").filter({ hasText: "Step 2" }).waitFor();
    assert.deepEqual(other.page.mistakes, []);
});

test("by keyboard alone, at 320 px, with text at 200 %: all of it can be reached and nothing is cut off", async () => {
    await site.release(id, "pull-tray");
    await rack.shows("STATE MET");
    await rack.page.evaluate(() => (document.documentElement.style.fontSize = "200%"));
    await rack.picturesOfBothThemes("large-text");
    await fitsTheHand(rack.page);
    await accessible(rack.page);
    await site.order("technician pull tray TRAY2");
    await rack.page.evaluate(() => document.activeElement?.blur());
    for (let pressed = 0; pressed < 40; ++pressed) {
        await rack.page.keyboard.press("Tab");
        if (await rack.page.evaluate(() => document.activeElement.id === "confirm")) break;
    }
    await rack.page.keyboard.press("Enter");
    await site.until(id, (seen) => stepOf(seen, "pull-tray").confirmed_by === "T. Near");
    await rack.page.locator("#polite").filter({ hasText: /seat|Slide/i }).waitFor({ state: "attached" });
    assert.deepEqual(rack.page.mistakes, []);
});
