// Debian's Chromium, by playwright-core; and what every page must keep: no error in its console, nothing that axe-core
// finds, targets for a gloved finger.
import assert from "node:assert/strict";
import { mkdirSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";

const modules = process.env.SLOTWITNESS_MODULES;
if (!modules) throw new Error("SLOTWITNESS_MODULES must name the folder in which npm ci has run");
const require = createRequire(join(modules, "package.json"));
const { chromium } = require("playwright-core");
const axe = require("axe-core");

const pictures = join(modules, "pictures");
mkdirSync(pictures, { recursive: true });

export const phone = { viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true };
export const small = { viewport: { width: 320, height: 640 }, hasTouch: true, isMobile: true };
export const desktop = { viewport: { width: 1366, height: 800 } };

export class Browser {
    static async start() {
        const started = new Browser();
        started.chromium = await chromium.launch({
            executablePath: process.env.SLOTWITNESS_CHROMIUM ?? "/usr/bin/chromium",
            args: ["--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run",
                "--disable-background-networking", "--disable-component-update", "--disable-sync"],
        });
        return started;
    }

    stop() {
        return this.chromium.close();
    }

    /// A page in a context of its own, as another person's. Errors that the page makes fail the test at `checked`.
    async open(url, options = phone) {
        const context = await this.chromium.newContext(options);
        const page = await context.newPage();
        page.setDefaultTimeout(30_000);
        page.mistakes = [];
        page.on("pageerror", (error) => page.mistakes.push(String(error)));
        page.on("console", (message) => {
            // The browser itself tells of answers that it did not get, or that refuse; those are part of a bad day.
            if (message.type() === "error" && !/Failed to load resource/.test(message.text())) page.mistakes.push(message.text());
        });
        await page.goto(url);
        return page;
    }
}

export const picture = (page, name) => page.screenshot({ path: join(pictures, `${name}.png`), fullPage: true });

/// Nothing that axe-core finds by WCAG 2.2 AA and its best practices, in this theme and size.
export async function accessible(page) {
    await page.evaluate(axe.source);
    const found = await page.evaluate(() => window.axe.run(document, {
        runOnly: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    }));
    assert.deepEqual(found.violations.map((each) => `${each.id}: ${each.nodes.map((node) => node.html).join(" ")}`), []);
}

/// Every control that is shown is at least 44 px each way (WCAG 2.2, 2.5.5), and nothing is wider than the page (1.4.10).
export async function fitsTheHand(page) {
    const wrong = await page.evaluate(() => [...document.querySelectorAll("button, input, select, summary, a[href]")]
        .filter((each) => each.offsetParent !== null)
        .map((each) => [each.outerHTML, each.getBoundingClientRect()])
        .filter(([, box]) => box.width < 44 || box.height < 44)
        .map(([html, box]) => `${Math.round(box.width)} × ${Math.round(box.height)}: ${html}`));
    assert.deepEqual(wrong, []);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);
    assert.ok(over <= 0, `the page is ${over} px wider than what shows it`);
}
