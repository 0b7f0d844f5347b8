// What the pages' sources must keep, since a browser shows what devices printed.
import assert from "node:assert/strict";
import { readdirSync, readFileSync } from "node:fs";
import { test } from "node:test";

const folder = new URL("../../../api/pages/", import.meta.url);
const sources = readdirSync(folder).filter((name) => /\.(js|html|css)$/.test(name))
    .map((name) => ({ name, text: readFileSync(new URL(name, folder), "utf8") }));

test("text becomes a page only as text nodes", () => {
    assert.ok(sources.length > 5);
    for (const { name, text } of sources)
        assert.doesNotMatch(text, /innerHTML|outerHTML|insertAdjacentHTML|document\.write|srcdoc|\beval\(|new Function/, name);
});

test("nothing is inline and nothing comes from elsewhere", () => {
    for (const { name, text } of sources.filter(({ name }) => name.endsWith(".html"))) {
        assert.doesNotMatch(text, /<style|\sstyle=|\son[a-z]+=|<script(?![^>]*src=)/, name);
        for (const [, address] of text.matchAll(/(?:src|href)="([^"]*)"/g)) assert.match(address, /^(\/assets\/|\/engineer$|data:,$|#)/, name);
    }
    for (const { name, text } of sources.filter(({ name }) => name.endsWith(".css"))) assert.doesNotMatch(text, /@import|url\((?!data:|#)/, name);
});

test("sizes of text follow the browser's", () => {
    for (const { name, text } of sources.filter(({ name }) => name.endsWith(".css")))
        for (const [, size] of text.matchAll(/font(?:-size)?:\s*([^;}]*)/g)) assert.doesNotMatch(size, /\dpx/, name);
});
