/**
 * Three people at one review: two write in the same paragraph, one also without a network, the third signs off; a
 * visitor without an account looks at a private preview. Nothing is lost, and all of it is seen as it happens.
 */
import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { makeInstallation, type Installation } from '../installation.js';
import { join, makeUnit, setUpOwner, type Visitor } from '../visitor.js';
import { chromiumPath, launchChromium } from './chromium.js';
import { cuttableNetwork, type CuttableNetwork } from './cuttableNetwork.js';
import { keepPictures, stopAtFirst } from './failures.js';
import { expectUsable } from './pageChecks.js';
import { goLive, openBrowserOf, type TeamMember } from './teamMember.js';
import { refusedWith, withoutNetwork } from './watchedPage.js';

describe.skipIf(!chromiumPath)('three people at one review', () => {
  let installation: Installation;
  let browser: Browser | undefined;
  let wire: CuttableNetwork | undefined;
  let host: Visitor;
  let ida: TeamMember;
  let bo: TeamMember;
  let eli: TeamMember;
  let visitor: TeamMember;
  let loanId: string;

  beforeAll(async () => {
    installation = await makeInstallation('embedded');
    const [server, launched] = await Promise.all([installation.start(), launchChromium()]);
    browser = launched;
    host = await setUpOwner(server.url);
    wire = await cuttableNetwork(server.url);
    ida = await openBrowserOf(browser, server.url, host);
    bo = await openBrowserOf(browser, wire.url, await join(host, 'cohost', 'Bo Lind'));
    eli = await openBrowserOf(browser, server.url, await join(host, 'editor', 'Eli Frost'));
    visitor = await openBrowserOf(browser, server.url);
    loanId = (await makeUnit(host)).loan.id;
  });
  afterAll(async () => {
    await browser?.close();
    await wire?.close();
    await installation.remove();
  });
  keepPictures(() => [ida, bo, eli, visitor]);
  stopAtFirst();

  const textOf = async () => (await host.client.loan(loanId)).verdict.text;

  it('lets two write in one paragraph at once, each seeing the other', async () => {
    for (const member of [ida, bo, eli]) await goLive(member, `/loans/${loanId}/verdict`);
    for (const { page } of [ida, bo, eli]) await stateIs(page, 'Every word is kept');
    await editor(ida.page).click();
    await ida.page.keyboard.type('The bass is lean.');
    await editor(bo.page).getByText('The bass is lean.').waitFor();
    await bo.page.getByText('Also here:').getByText('Ida Rask').waitFor();
    await editor(bo.page).click();
    await bo.page.keyboard.press('Control+End');
    await editor(ida.page).click();
    await ida.page.keyboard.press('Control+Home');
    await Promise.all([
      ida.page.keyboard.type('In short: ', { delay: 15 }),
      bo.page.keyboard.type(' The treble is even.', { delay: 15 }),
    ]);
    await seen([ida, bo, eli], 'In short: The bass is lean. The treble is even.');
    await stateIs(ida.page, 'Every word is kept');
    await stateIs(bo.page, 'Every word is kept');
    expect(await textOf()).toBe('In short: The bass is lean. The treble is even.');
    for (const member of [ida, bo, eli]) member.watch.expectQuiet();
  });

  it('keeps what is written while other words are on their way', async () => {
    await editor(bo.page).click();
    await bo.page.keyboard.press('Control+End');
    const letThrough = wire?.holdAnswers();
    await bo.page.keyboard.insertText(' These are on their way.');
    await expect.poll(textOf).toContain(' These are on their way.');
    await stateIs(bo.page, 'Sending');
    await bo.page.keyboard.insertText(' These came after.');
    letThrough?.();
    await stateIs(bo.page, 'Every word is kept');
    expect(await textOf()).toContain(' These are on their way. These came after.');
    await seen([ida, bo, eli], ' These are on their way. These came after.');
  });

  it('keeps what is written without a network, and merges it when it is back', async () => {
    await wire?.cut(bo.context);
    await stateIs(bo.page, 'No connection');
    await editor(bo.page).click();
    await bo.page.keyboard.press('Control+End');
    await bo.page.keyboard.type(' Written on a train.');
    await editor(ida.page).click();
    await ida.page.keyboard.press('Control+Home');
    await ida.page.keyboard.type('Meanwhile at home. ');
    await stateIs(ida.page, 'Every word is kept');
    await wire?.mend(bo.context);
    await seen(
      [ida, bo, eli],
      'Meanwhile at home. In short: The bass is lean. The treble is even. These are on their way. These came after. Written on a train.',
    );
    await stateIs(bo.page, 'Every word is kept');
    expect(await textOf()).toContain('Meanwhile at home. In short:');
    bo.watch.expectQuiet(withoutNetwork);
    ida.watch.expectQuiet();
  });

  it('voids an approval by the next word, before everybody’s eyes', async () => {
    await eli.page.getByRole('button', { name: 'Sign off' }).click();
    for (const { page } of [ida, bo, eli])
      await page.getByRole('listitem').filter({ hasText: 'Eli Frost approved' }).waitFor();
    expect((await host.client.loan(loanId)).verdict.signOffs.map(({ stands }) => stands)).toEqual([true]);
    await editor(bo.page).click();
    await bo.page.keyboard.press('Control+End');
    await bo.page.keyboard.type(' One more word.');
    for (const { page } of [ida, bo, eli])
      await page.getByText('Void: the verdict was changed afterwards.').waitFor();
    await stateIs(bo.page, 'Every word is kept');
    expect((await host.client.loan(loanId)).verdict.signOffs.map(({ stands }) => stands)).toEqual([false]);
  });

  it('takes a comment on marked words, and another wording that somebody accepts', async () => {
    await editor(eli.page).click();
    await eli.page.keyboard.press('Control+Home');
    for (let step = 0; step < 'Meanwhile at home.'.length; step++)
      await eli.page.keyboard.press('Shift+ArrowRight');
    await eli.page.getByLabel('Comment', { exact: true }).fill('Does this belong here, @Ida Rask?');
    await eli.page.getByLabel(/Put this in its place/).fill('Heard at home.');
    await eli.page.getByRole('button', { name: 'Comment', exact: true }).click();
    await ida.page.getByText('Does this belong here').waitFor();
    await ida.page.getByRole('button', { name: 'Accept the wording' }).click();
    await seen([ida, bo, eli], 'Heard at home. In short:');
    expect(await textOf()).toMatch(/^Heard at home\. In short:/);
    for (const member of [ida, eli]) member.watch.expectQuiet();
  });

  it('keeps points with their evidence, and the order by keyboard', async () => {
    const { page } = ida;
    await page.getByRole('button', { name: 'Begin the points' }).click();
    await page.getByRole('button', { name: 'Add a con' }).click();
    await page.getByLabel('Con 1', { exact: true }).fill('Lean bass');
    await page.getByLabel('Evidence for con 1').fill('None measured yet.');
    await page.getByRole('button', { name: 'Save the points' }).click();
    await bo.page.getByText('None measured yet.').waitFor();
    await page.getByRole('button', { name: 'Move “What it is” up' }).press('Enter');
    await expect
      .poll(async () => (await host.client.loan(loanId)).verdict.outline[0]?.title)
      .toBe('What it is');
    await expectUsable(page);
  });

  it('shows a preview to a visitor without an account, whose word arrives at once, and closes when taken back', async () => {
    const { page } = ida;
    await page.getByRole('button', { name: 'New preview' }).click();
    await page.getByLabel('For whom (if you like)').fill('Una');
    await page.getByLabel('Pros and cons').first().check();
    await page.getByRole('button', { name: 'Make the preview' }).click();
    const address = await page.getByLabel('Private address').inputValue();
    await visitor.page.goto(address);
    await visitor.page.getByText('Heard at home.').waitFor();
    await expect.poll(() => visitor.page.getByText('Lean bass').count()).toBe(0);
    await expectUsable(visitor.page);
    await visitor.page.getByLabel('Your name (if you like)').fill('Una');
    await visitor.page.getByRole('button', { name: 'Publish it', exact: true }).click();
    await visitor.page.getByLabel('Comment to the team').fill('I would read more of this.');
    await visitor.page.getByRole('button', { name: 'Send the comment' }).click();
    await bo.page.getByText('1 for publishing, 0 against').waitFor();
    await bo.page.getByText('I would read more of this.').waitFor();
    visitor.watch.expectQuiet([refusedWith(401)]);
    await page.getByRole('button', { name: 'Take it back' }).click();
    await visitor.page.getByRole('heading', { name: 'This preview is not open' }).waitFor();
    await expect.poll(() => visitor.page.getByText('Heard at home.').count()).toBe(0);
    visitor.watch.expectQuiet([refusedWith(404)]);
    ida.watch.expectQuiet();
  });
});

const editor = (page: Page) => page.getByRole('textbox', { name: 'Text of the review' });

async function stateIs(page: Page, words: string): Promise<void> {
  await page.getByRole('status', { name: 'State of the text' }).filter({ hasText: words }).waitFor();
}

async function seen(members: readonly TeamMember[], words: string): Promise<void> {
  for (const { page } of members)
    await expect.poll(async () => editor(page).evaluate(wordsIn)).toContain(words);
}

/** Runs in the page. What the others' carets are called is no part of the text. */
function wordsIn(element: Element): string {
  const copy = element.cloneNode(true) as Element;
  for (const caret of copy.querySelectorAll('.their-caret')) caret.remove();
  return copy.textContent ?? '';
}
