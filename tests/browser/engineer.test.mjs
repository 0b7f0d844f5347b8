// The engineer page: every chassis, the picture and its lines, a stop, and a daemon that is lost.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { after, afterEach, before, test } from "node:test";

import { Browser, picture } from "./browser.mjs";
import { control, open, press, slot, tellCode, well } from "./engineer_page.mjs";
import { Site, stepOf } from "./site.mjs";

let site, browser;
before(async () => ([site, browser] = await Promise.all([Site.start({ chassis: "in-band = true" }), Browser.start()])));
after(async () => (await browser?.stop(), await site?.stop()));
afterEach(() => site.order("fault clear"));

test("every chassis at a glance, and from there to one", async () => {
    const page = await open(browser, site, "/engineer");
    await page.locator("#glance tr", { hasText: "edge-7" }).locator("td", { hasText: "connected" }).waitFor();
    assert.equal(new URL(page.url()).hash, "", "the token is out of the address");
    await well(page);
    await picture(page, "engineer-glance");
    await page.getByRole("link", { name: "edge-7" }).click();
    await page.locator("#face svg").waitFor();
    await page.context().close();
});

test("without a right to look it shows why, and nothing of the device", async () => {
    const page = await open(browser, site, "/engineer/edge-7", { token: "sw1.abcdefgh.nobody" });
    await page.locator("#trouble", { hasText: "token" }).waitFor();
    assert.equal(await page.locator("#face svg").count(), 0);
    await page.context().close();
});

test("the face looked at has its slots with what is printed there, and each fact leads to its line", async () => {
    const page = await open(browser, site, "/engineer/edge-7");
    await page.getByRole("button", { name: "Rear", exact: true }).click();
    await slot(page, "module FAB3").filter({ hasText: "operational" }).waitFor();
    assert.match(await slot(page, "module FAB3").textContent(), /REAR 3/);
    await page.getByRole("button", { name: "Front", exact: true }).click();
    await slot(page, "module LINE1").waitFor();
    assert.equal(await slot(page, "module FAB3").count(), 0);

    // By keyboard alone: to the slot, its facts, the line.
    await slot(page, "module LINE2").focus();
    await page.keyboard.press("Enter");
    const serial = page.locator("#part button", { hasText: "serial" });
    await serial.waitFor();
    assert.equal(await page.evaluate(() => document.activeElement.dataset.key), "module LINE2", "the focus stays where it was");
    await serial.focus();
    await page.keyboard.press("Enter");
    const line = page.locator("#answer tr.chosen");
    await line.waitFor();
    assert.match(await line.textContent(), /read.*LINE2.*QL40200022/);
    assert.match(await line.locator("mark", { hasText: "QL40200022" }).getAttribute("title"), /module LINE2: serial QL40200022/);
    await well(page);
    await page.context().close();
});

test("a garbled answer shows the lines that nobody read, and a part that is not known", async () => {
    const page = await open(browser, site, "/engineer/edge-7");
    await slot(page, "plane 3").filter({ hasText: "operational" }).waitFor();
    await site.order("fault contradict plane 3");
    await slot(page, "plane 3").filter({ hasText: "not known" }).waitFor();
    await slot(page, "plane 3").click();
    assert.match(await page.locator("#part").textContent(), /reports two things of fabric plane 3/);
    await site.order("fault clear");
    await site.order("fault garble");
    await page.locator("#askings button", { hasText: "unread" }).first().click();
    await page.locator("#answer tr.unread").first().waitFor();
    await picture(page, "engineer-garbled");
    await site.order("fault clear");
    await slot(page, "plane 3").filter({ hasText: "operational" }).waitFor();
    await page.context().close();
});

test("the person at the rack gets an address that another program reads off the page, also in the dark", async () => {
    const id = await site.open();
    const page = await open(browser, site, "/engineer/edge-7", { colorScheme: "dark" });
    await page.getByLabel("Who stands at the rack").fill("G. Hand");
    await page.getByRole("button", { name: "Make their address" }).click();
    const drawing = page.locator("#qr svg");
    await drawing.waitFor();
    const address = await page.locator("#hand-out .address").textContent();
    assert.ok(address.startsWith(`${site.url}/rack/${id}#token=sw1.`), address);
    // zbarimg of the ZBar project reads what a camera would see.
    await drawing.screenshot({ path: site.file("qr.png") });
    const read = execFileSync("zbarimg", ["--quiet", "--nodbus", "--raw", site.file("qr.png")], { encoding: "utf8" });
    assert.equal(read.trim(), address);
    await picture(page, "engineer-hand-out");
    await well(page);
    const rack = await browser.open(address);
    await rack.locator("#text").filter({ hasNotText: "Nothing has come" }).waitFor();
    await rack.context().close();
    await page.getByRole("button", { name: "Hide it" }).click();
    await drawing.waitFor({ state: "detached" });
    await page.context().close();
    await site.close(id, "closed_degraded", { ticket: "T-1", reason: "nobody came" });
});

test("a session through the fabric under work, and a switchover, are told in the header and at the work", async () => {
    const id = await site.open();
    const page = await open(browser, site, "/engineer/edge-7");
    await page.locator("#warnings", { hasText: "through its own fabric" }).waitFor();
    const way = page.locator("#way");
    await way.filter({ hasText: /Router session with 127\.0\.0\.1:\d+ since .*In-band, as declared.*CTL0 as active controller/ }).waitFor();
    await site.order("engineer lead controller CTL1");
    await page.locator("#warnings", { hasText: /Switchover at .*: controller CTL1 is active, CTL0 was before/ }).waitFor();
    await way.filter({ hasText: /CTL1 as active controller\.\s*Switchover at/ }).waitFor();
    await picture(page, "engineer-switchover");
    await well(page);
    await page.context().close();
    await site.close(id, "closed_degraded", { ticket: "T-1", reason: "a controller took over" });
});

test("the wrong slot stops the work until somebody answers; a lost daemon is WAIT by the page itself", async () => {
    const id = await site.open();
    const page = await open(browser, site, "/engineer/edge-7");
    await page.getByLabel("Technician, by name").fill("G. Hand");
    await page.getByLabel("Serial's last characters").fill("0017");
    await control(page, "Take what they read").click();
    await press(page, "Release prepare");
    await page.locator(".word", { hasText: "STATE MET" }).waitFor();
    await site.order("technician pull supply PSU1");
    await page.locator(".word", { hasText: "STOP" }).waitFor();
    assert.match(await page.locator("#word").textContent(), /PSU1/);
    assert.match(await page.locator(".ask").textContent(), /Stop\. Another slot is empty/);
    assert.match(await page.locator("#others").textContent(), /STOP/, "no part of the page says otherwise");
    assert.equal(await page.locator("button.act").count(), 0, "nobody is told to go on");
    await slot(page, "power-supply PSU1").filter({ hasText: "not listed" }).waitFor();
    await picture(page, "engineer-stop");
    await well(page);

    await site.order("technician seat supply PSU1");
    await page.locator(".rules .lost", { hasText: "no longer met" }).waitFor();
    await page.getByLabel("Reason, kept with your name").fill("It was pulled on purpose.");
    await page.getByRole("button", { name: "Answer a stop" }).click();
    await page.locator("#said", { hasText: "Done" }).waitFor();
    await page.locator(".word", { hasText: "STATE MET" }).waitFor();

    // Somebody else acts meanwhile: this page is told, and does nothing twice.
    await page.route(`**/v1/procedures/${id}/confirmations`, async (route) => {
        const seen = await site.until(id, () => true);
        await site.actOn(id, "confirmations", seen, "prepare", { read_back: stepOf(seen, "prepare").code });
        await route.continue();
    });
    await tellCode(page);
    await control(page, "Confirm on their behalf").click();
    await page.locator("#said.refused", { hasText: "Somebody else may have acted" }).waitFor();
    await page.unroute(`**/v1/procedures/${id}/confirmations`);
    await press(page, "Release shut-planes");
    await page.locator(".word", { hasText: "STATE MET" }).waitFor();

    await site.killDaemon();
    await page.locator(".word", { hasText: "WAIT" }).waitFor();
    await page.locator("#trouble", { hasText: "does not answer" }).waitFor();
    await picture(page, "engineer-lost");
    await page.context().close();
});
