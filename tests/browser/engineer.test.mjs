// The engineer page in a browser, on a whole day: the picture, the work by voice, the lines, the lost daemon.
import assert from "node:assert/strict";
import test, { after, afterEach, before } from "node:test";
import { accessible, Browser, picture } from "./browser.mjs";
import { RackPage } from "./rack_page.mjs";
import { Site, stepOf } from "./site.mjs";

let site, browser;
before(async () => ([site, browser] = await Promise.all([Site.start({ speed: 8 }), Browser.start()])));
after(async () => (await browser?.stop(), await site?.stop()));
afterEach(() => site.order("fault clear"));

const laptop = { viewport: { width: 1280, height: 800 } };

/// The page as the engineer has it; or another person, by their token.
const open = (path, { token = site.engineer, ...more } = {}) => browser.open(`${site.url}${path}#token=${token}`, { ...laptop, ...more });
const orderAll = async (orders) => {
    for (const order of orders) await site.order(order);
};

/// What people do at each step of the good day.
const orders = {
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

const control = (page, text) => page.locator("button.act:not([aria-disabled])", { hasText: text });
const slot = (page, name) => page.locator(`.slot[data-key="${name}"]`);

async function well(page) {
    assert.deepEqual(page.mistakes, []);
    await accessible(page);
}

/// Tells the technician's confirmation as an engineer does who hears it.
async function confirmByVoice(page) {
    await press(page, "Confirm on their behalf", { fill: () => tellCode(page) });
}
async function tellCode(page, code) {
    await page.getByLabel("Technician, by name").fill("G. Hand");
    await page.getByLabel("Code as they read it back").fill(code ?? (await page.locator("#step .code b").textContent()));
}

/// Presses until it is taken: a release is refused in the very instant in which a look is under way.
async function press(page, text, { fill = async () => {}, atMost = 5 } = {}) {
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
async function play(page, step, { byPhone = null } = {}) {
    await press(page, `Release ${step}`);
    await orderAll(orders[step]);
    if (byPhone) return byPhone();
    await page.locator("#step .actor", { hasText: "released" }).waitFor();
    if (await page.locator("#step .actor", { hasText: "engineer" }).count()) return press(page, `confirm ${step}`);
    await confirmByVoice(page);
}

test("every chassis at a glance, and from there to one", async () => {
    const page = await open("/engineer");
    await page.locator("#glance tr", { hasText: "edge-7" }).locator("td", { hasText: "connected" }).waitFor();
    assert.equal(new URL(page.url()).hash, "", "the token is out of the address");
    await well(page);
    await picture(page, "engineer-glance");
    await page.getByRole("link", { name: "edge-7" }).click();
    await page.locator("#face svg").waitFor();
    await page.context().close();
});

test("without a right to look it shows why, and nothing of the device", async () => {
    const page = await open("/engineer/edge-7", { token: "sw1.abcdefgh.nobody" });
    await page.locator("#trouble", { hasText: "token" }).waitFor();
    assert.equal(await page.locator("#face svg").count(), 0);
    await page.context().close();
});

test("the face looked at has its slots with what is printed there, and each fact leads to its line", async () => {
    const page = await open("/engineer/edge-7");
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
    const page = await open("/engineer/edge-7");
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

test("the engineer plays the good day from the page, by voice and with a phone beside it", async () => {
    const id = await site.open();
    const page = await open("/engineer/edge-7");
    const rack = await RackPage.open(browser, site, id); // beside it, at the rack
    const byPhone = async () => {
        await rack.shows("STATE MET");
        await rack.confirm();
    };

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

    for (const step of ["shut-planes", "shut-module", "pull-tray"]) await play(page, step);
    assert.match(await slot(page, "plane 3").textContent(), /shut down.*part of the work/);
    await page.locator("#clocks", { hasText: "Tray must be back in" }).waitFor();
    await play(page, "pull-module");
    await slot(page, "module FAB3").filter({ hasText: "not listed" }).waitFor();
    assert.match(await slot(page, "module FAB3").textContent(), /REAR 3/, "what is printed there stays");
    await play(page, "seat-spare", { byPhone });
    await control(page, "Release seat-tray").waitFor();
    await page.locator(".warmth .band").waitFor();
    await picture(page, "engineer-warming");
    const dark = await open("/engineer/edge-7", { viewport: { width: 1920, height: 1080 }, colorScheme: "dark" });
    await dark.locator(".warmth .band").waitFor();
    await well(dark);
    await picture(dark, "engineer-1920-dark");
    await dark.context().close();
    for (const step of ["seat-tray", "start-module", "raise-planes"]) await play(page, step);

    // The timeline has it all, and zoom shows less of it.
    await press(page, "Close the procedure");
    await page.locator("#step h2", { hasText: "Closed" }).waitFor();
    const ticks = () => page.locator(".lines .tick text").allTextContents();
    const before = await ticks();
    await page.getByRole("button", { name: "Closer" }).click();
    assert.notDeepEqual(await ticks(), before);
    await page.locator("#lines").focus();
    await page.keyboard.press("0");
    await page.locator("#marks summary").click();
    const done = await page.locator("#marks").textContent();
    for (const text of ["pull-module released by G. Far", "pull-module confirmed by G. Far for G. Hand", "seat-spare confirmed by T. Near"])
        assert.ok(done.includes(text), text);
    assert.match(await page.locator(".lines").textContent(), /cooling reduced/);
    await picture(page, "engineer-done");
    await well(page);
    await page.context().close();
});

test("the wrong slot stops the work until somebody answers; a lost daemon is WAIT by the page itself", async () => {
    const id = await site.open();
    const page = await open("/engineer/edge-7");
    await page.getByLabel("Technician, by name").fill("G. Hand");
    await page.getByLabel("Serial's last characters").fill("0017");
    await control(page, "Take what they read").click();
    await press(page, "Release prepare");
    await page.locator(".word", { hasText: "STATE MET" }).waitFor();
    await site.order("technician pull supply PSU1");
    await page.locator(".word", { hasText: "STOP" }).waitFor();
    assert.match(await page.locator("#word").textContent(), /PSU1/);
    assert.match(await page.locator(".ask").textContent(), /Stop\. Another slot is empty/);
    assert.equal(await page.locator("button.act").count(), 0, "nobody is told to go on");
    await slot(page, "power-supply PSU1").filter({ hasText: "not listed" }).waitFor();
    await picture(page, "engineer-stop");
    await well(page);

    await site.order("technician seat supply PSU1");
    await page.locator(".rules", { hasText: "LOST" }).waitFor();
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
