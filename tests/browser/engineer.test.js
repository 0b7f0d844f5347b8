// The engineer page in a browser, on a whole day: the picture, the work by voice, the lines, the lost daemon.
import assert from 'node:assert/strict';
import test, { after, afterEach, before } from 'node:test';
import { Site, findings, shot } from './site.js';

let site;
before(async () => { site = await Site.begin(); });
after(() => site?.end());
afterEach(() => site.order('fault clear'));

/** What people do at each step of the good day. */
const orders = {
  prepare: [],
  'shut-planes': ['engineer release plane 3', 'engineer release plane 4'],
  'shut-module': ['engineer release module FAB3'],
  'pull-tray': ['technician pull tray TRAY2'],
  'pull-module': ['technician pull module FAB3'],
  'seat-spare': ['technician seat module FAB3 serial QL40100099'],
  'seat-tray': ['technician seat tray TRAY2'],
  'start-module': ['engineer engage module FAB3'],
  'raise-planes': ['engineer engage plane 3', 'engineer engage plane 4'],
};

const control = (page, text) => page.locator('button.act:not([aria-disabled])', { hasText: text });
const slot = (page, name) => page.locator(`.slot[data-key="${name}"]`);

async function well(page) {
  assert.deepEqual(page.wrong, []);
  assert.deepEqual(await findings(page), []);
}

/** Tells the technician's confirmation as an engineer does who hears it. */
async function confirmByVoice(page, code) {
  await page.getByLabel('Technician, by name').fill('G. Hand');
  await page.getByLabel('Code as they read it back').fill(code ?? (await page.locator('#step .code b').textContent()));
  await control(page, 'Confirm on their behalf').click();
}

/** The step's own control, then the next one's. */
async function play(page, step, { byPhone = null } = {}) {
  await control(page, `Release ${step}`).click();
  await page.locator('#step .actor', { hasText: 'released' }).waitFor();
  await site.order(...orders[step]);
  if (byPhone) return byPhone(step);
  const own = control(page, `confirm ${step}`);
  if (await page.locator('#step .actor', { hasText: 'engineer' }).count()) await own.click();
  else await confirmByVoice(page);
}

test('every chassis at a glance, and from there to one', async () => {
  const page = await site.page('/engineer');
  const row = page.locator('#glance tr', { hasText: 'core-3' });
  await row.locator('td', { hasText: 'lost' }).waitFor();
  assert.match(await row.textContent(), /never/);
  assert.equal(new URL(page.url()).hash, '', 'the token is out of the address');
  await well(page);
  await shot(page, 'engineer-glance');
  await page.getByRole('link', { name: 'edge-7' }).click();
  await page.locator('#face svg').waitFor();
  await page.context().close();
});

test('without a right to look it shows why, and nothing of the device', async () => {
  const page = await site.page('/engineer/edge-7', { token: 'sw1.abcdefgh.nobody' });
  await page.locator('#trouble', { hasText: 'token' }).waitFor();
  assert.equal(await page.locator('#face svg').count(), 0);
  await page.context().close();
});

test('the face looked at has its slots with what is printed there, and each fact leads to its line', async () => {
  const page = await site.page('/engineer/edge-7');
  await page.getByRole('button', { name: 'Rear', exact: true }).click();
  await slot(page, 'module FAB3').filter({ hasText: 'operational' }).waitFor();
  assert.match(await slot(page, 'module FAB3').textContent(), /REAR 3/);
  await page.getByRole('button', { name: 'Front', exact: true }).click();
  await slot(page, 'module LINE1').waitFor();
  assert.equal(await slot(page, 'module FAB3').count(), 0);

  // By keyboard alone: to the slot, its facts, the line.
  await slot(page, 'module LINE2').focus();
  await page.keyboard.press('Enter');
  const serial = page.locator('#part button', { hasText: 'serial' });
  await serial.waitFor();
  assert.equal(await page.evaluate(() => document.activeElement.dataset.key), 'module LINE2', 'the focus stays where it was');
  await serial.focus();
  await page.keyboard.press('Enter');
  const line = page.locator('#answer tr.chosen');
  await line.waitFor();
  assert.match(await line.textContent(), /read.*LINE2.*QL40200022/);
  assert.match(await line.locator('mark', { hasText: 'QL40200022' }).getAttribute('title'), /module LINE2: serial QL40200022/);
  await well(page);
  await page.context().close();
});

test('a garbled answer shows the lines that nobody read, and a part that is not known', async () => {
  const page = await site.page('/engineer/edge-7');
  await slot(page, 'plane 3').filter({ hasText: 'operational' }).waitFor();
  await site.order('fault contradict plane 3');
  await slot(page, 'plane 3').filter({ hasText: 'not known' }).waitFor();
  await slot(page, 'plane 3').click();
  assert.match(await page.locator('#part').textContent(), /reports two things of fabric plane 3/);
  await site.order('fault clear', 'fault garble');
  await page.locator('#askings button', { hasText: 'unread' }).first().click();
  await page.locator('#answer tr.unread').first().waitFor();
  await shot(page, 'engineer-garbled', { fullPage: true });
  await site.order('fault clear');
  await slot(page, 'plane 3').filter({ hasText: 'operational' }).waitFor();
  await page.context().close();
});

test('the engineer plays the good day from the page, by voice and with a phone beside it', async () => {
  const opened = await site.openSwap();
  const rack = site.token('rack', opened.id);
  const page = await site.page('/engineer/edge-7');
  const phone = async (step) => { // somebody confirms at the rack
    const now = await site.ask('GET', `/v1/procedures/${opened.id}`, null, {}, rack);
    const { revision, code } = now.steps.find((one) => one.name === step);
    await site.ask('POST', `/v1/procedures/${opened.id}/confirmations`, { step, read_back: code }, { 'If-Match': `"${revision}"` }, rack);
  };

  // The chassis that they stand at, then the first step; a code that was misheard is refused.
  await page.getByLabel('Technician, by name').fill('G. Hand');
  await page.getByLabel('Serial\'s last characters').fill('0017');
  await control(page, 'Take what they read').click();
  await control(page, 'Release prepare').click();
  await page.locator('.word', { hasText: 'STATE MET' }).waitFor();
  await shot(page, 'engineer-1280-light', { fullPage: true });
  await well(page);
  await confirmByVoice(page, 'ZZ9');
  await page.locator('#said.refused').waitFor();
  await confirmByVoice(page);

  for (const step of ['shut-planes', 'shut-module', 'pull-tray']) await play(page, step);
  assert.match(await slot(page, 'plane 3').textContent(), /shut down.*part of the work/);
  await page.locator('#clocks', { hasText: 'Tray must be back in' }).waitFor();
  await play(page, 'pull-module');
  await slot(page, 'module FAB3').filter({ hasText: 'not listed' }).waitFor();
  assert.match(await slot(page, 'module FAB3').textContent(), /REAR 3/, 'what is printed there stays');
  await play(page, 'seat-spare', { byPhone: phone });
  await control(page, 'Release seat-tray').waitFor();
  await page.locator('.warmth .band').waitFor();
  await shot(page, 'engineer-warming', { fullPage: true });
  const dark = await site.page('/engineer/edge-7', { width: 1920, height: 1080, scheme: 'dark' });
  await dark.locator('.warmth .band').waitFor();
  await well(dark);
  await shot(dark, 'engineer-1920-dark', { fullPage: true });
  await dark.context().close();
  for (const step of ['seat-tray', 'start-module', 'raise-planes']) await play(page, step);

  // The timeline has it all, and zoom shows less of it.
  await control(page, 'Close the procedure').click();
  await page.locator('#step h2', { hasText: 'Closed' }).waitFor();
  const ticks = () => page.locator('.lines .tick text').allTextContents();
  const before = await ticks();
  await page.getByRole('button', { name: 'Closer' }).click();
  assert.notDeepEqual(await ticks(), before);
  await page.locator('#lines').focus();
  await page.keyboard.press('0');
  await page.locator('#marks summary').click();
  const done = await page.locator('#marks').textContent();
  for (const text of ['pull-module released by A. engineer', 'pull-module confirmed by A. engineer for G. Hand', 'seat-spare confirmed by A. rack']) assert.ok(done.includes(text), text);
  assert.match(await page.locator('.lines').textContent(), /cooling reduced/);
  await shot(page, 'engineer-done', { fullPage: true });
  await well(page);
  await page.context().close();
});

test('the wrong slot stops the work until somebody answers; a lost daemon is WAIT by the page itself', async () => {
  const opened = await site.openSwap();
  const page = await site.page('/engineer/edge-7');
  await page.getByLabel('Technician, by name').fill('G. Hand');
  await page.getByLabel('Serial\'s last characters').fill('0017');
  await control(page, 'Take what they read').click();
  await control(page, 'Release prepare').click();
  await page.locator('.word', { hasText: 'STATE MET' }).waitFor();
  await site.order('technician pull supply PSU1');
  await page.locator('.word', { hasText: 'STOP' }).waitFor();
  assert.match(await page.locator('#word').textContent(), /PSU1/);
  assert.match(await page.locator('.ask').textContent(), /Stop\. Another slot is empty/);
  assert.equal(await page.locator('button.act').count(), 0, 'nobody is told to go on');
  await slot(page, 'power-supply PSU1').filter({ hasText: 'not listed' }).waitFor();
  await shot(page, 'engineer-stop', { fullPage: true });
  await well(page);

  await site.order('technician seat supply PSU1');
  await page.locator('.rules', { hasText: 'LOST' }).waitFor();
  await page.getByLabel('Reason, kept with your name').fill('It was pulled on purpose.');
  await page.getByRole('button', { name: 'Answer a stop' }).click();
  await page.locator('#said', { hasText: 'Done' }).waitFor();
  await page.locator('.word', { hasText: 'STATE MET' }).waitFor();

  // Somebody else acts meanwhile: this page is told, and does nothing twice.
  const held = page.route(`**/v1/procedures/${opened.id}/confirmations`, async (route) => {
    const now = await site.ask('GET', `/v1/procedures/${opened.id}`);
    const { revision, code } = now.steps[0];
    await site.ask('POST', `/v1/procedures/${opened.id}/confirmations`, { step: 'prepare', read_back: code }, { 'If-Match': `"${revision}"` });
    await route.continue();
  });
  await held;
  await confirmByVoice(page);
  await page.locator('#said.refused').waitFor();
  await control(page, 'Release shut-planes').click();
  await page.locator('.word', { hasText: 'STATE MET' }).waitFor();

  site.daemon.removeAllListeners('exit');
  site.daemon.kill('SIGKILL');
  await page.locator('.word', { hasText: 'WAIT' }).waitFor({ timeout: 8_000 });
  await page.locator('#trouble', { hasText: 'does not answer' }).waitFor();
  await shot(page, 'engineer-lost');
  await page.context().close();
});
