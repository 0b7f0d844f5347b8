// The rack page as a person has it in hand.
import assert from "node:assert/strict";

import { phone, picture } from "./browser.mjs";

export class RackPage {
    static async open(browser, site, id, { person = "T. Near", size = phone } = {}) {
        const rack = new RackPage();
        rack.token = site.token(person, "rack", id);
        rack.page = await browser.open(`${site.url}/rack/${id}#token=${rack.token}`, size);
        return rack;
    }

    text(selector) {
        return this.page.locator(selector).innerText();
    }

    /// Waits until the word is shown, and `says` anywhere in what counts now.
    async shows(word, says = /./) {
        await this.page.locator("#plate").filter({ has: this.page.getByText(word, { exact: true }) }).filter({ hasText: says }).waitFor();
    }

    async named(serialEnd) {
        await this.page.getByLabel(/Last characters of the chassis serial/).fill(serialEnd);
        await this.page.getByRole("button", { name: "Send" }).click();
    }

    /// "I have done this", as soon as it may be pressed; gone once the daemon has taken it.
    async confirm() {
        const button = this.page.locator("#confirm");
        const step = await this.text("#step-act");
        await button.click();
        await this.page.waitForFunction((was) => document.getElementById("confirm").hidden ||
            document.getElementById("step-act").textContent !== was, step);
        assert.equal(await this.page.locator("#notice").isVisible(), false);
    }

    /// Nothing new comes any more, though what is told still goes out.
    async loses(address) {
        await this.page.route(`${address}**`, (route) => (route.request().method() === "GET" ? route.abort() : route.continue()));
        await this.page.evaluate(() => window.dispatchEvent(new Event("online"))); // the stream is begun anew, and lost
    }

    async finds(address) {
        await this.page.unroute(`${address}**`);
    }

    async picturesOfBothThemes(name) {
        for (const colorScheme of ["light", "dark"]) {
            await this.page.emulateMedia({ colorScheme });
            await picture(this.page, `${name}-${colorScheme}`);
        }
    }
}
