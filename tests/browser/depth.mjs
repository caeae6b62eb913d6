// One page in depth: both sliders by mouse and by keyboard, no script, and texts that try to be more than text.

const wetOf = (page) => page.evaluate(() => getComputedStyle(document.getElementById('pair')).getPropertyValue('--wet').trim());
const focusOn = async (page, id, expect) => {
  for (let i = 0; i < 30; i++) {
    await page.keyboard.press('Tab');
    if (await page.evaluate((one) => document.activeElement.id === one, id)) {
      const outline = await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle);
      expect(outline !== 'none', `${id}: focus is seen`);
      return;
    }
  }
  expect(false, `${id}: cannot be reached by Tab`);
};

const picture = async (page, id) => (await page.locator(id).screenshot()).toString('base64');

const wetAndDry = async (page, expect) => {
  const dry = await picture(page, '#pair');
  expect(await wetOf(page) === '0%', 'dry at first');
  await focusOn(page, 'slide', expect);
  await page.keyboard.press('ArrowRight');
  expect(await wetOf(page) === '1%', 'an arrow moves the slider by one');
  await page.keyboard.press('End');
  expect(await wetOf(page) === '100%', 'End shows all of it wet');
  expect(await picture(page, '#pair') !== dry, 'the wet cloth looks other than the dry one');
  expect(/100 percent/.test(await page.getAttribute('#slide', 'aria-valuetext')), 'the slider says where it is');
  const box = await page.locator('#slide').boundingBox();
  await page.mouse.click(box.x + box.width / 4, box.y + box.height / 2);
  const clicked = Number.parseInt(await wetOf(page), 10);
  expect(clicked > 15 && clicked < 35, `a click at a quarter gives ${clicked} %`);
  const cloth = await page.locator('#pair').boundingBox();
  await page.mouse.move(cloth.x + cloth.width * 0.3, cloth.y + 60);
  await page.mouse.down();
  await page.mouse.move(cloth.x + cloth.width * 0.7, cloth.y + 60, { steps: 4 });
  await page.mouse.up();
  const dragged = Number.parseInt(await wetOf(page), 10);
  expect(dragged > 66 && dragged < 74, `dragging over the cloth gives ${dragged} %`);
};

const melt = async (page, expect) => {
  const words = () => page.textContent('#said');
  const shown = () => page.evaluate(() => [...document.querySelectorAll('.half img')].map((one) => one.src));
  const last = Number(await page.getAttribute('#time', 'max'));
  const start = await shown();
  expect(last >= 20, `${last + 1} frames`);
  expect(start.length === 2 && start[0] === start[1], 'both halves show the same frame');
  expect(/^At the start: 100 % of the ice/.test(await words()), `begins with ${await words()}`);
  await focusOn(page, 'time', expect);
  await page.keyboard.press('ArrowRight');
  expect(/^After /.test(await words()) && (await shown())[0] !== start[0], 'an arrow shows the next frame');
  await page.keyboard.press('End');
  expect(/: 0 % of the ice/.test(await words()), `ends with ${await words()}`);
  const now = await page.evaluate(() => Number(document.getElementById('now').getAttribute('x1')));
  expect(now > 700, `the line on the curve follows (${now})`);
  const box = await page.locator('#time').boundingBox();
  await page.mouse.click(box.x + box.width / 2, box.y + box.height / 2);
  const middle = Number(await page.inputValue('#time'));
  expect(Math.abs(middle - last / 2) <= 2, `a click in the middle gives frame ${middle}`);
  await focusOn(page, 'play', expect);
  await page.keyboard.press('Space');
  await page.waitForFunction((from) => Number(document.getElementById('time').value) >= from + 2, middle);
  expect(await page.textContent('#play') === 'Pause', 'Space plays');
  await page.keyboard.press('Space');
  const paused = await page.inputValue('#time');
  await page.waitForTimeout(600);
  expect(await page.inputValue('#time') === paused && await page.textContent('#play') === 'Play', 'Space pauses');
};

const withoutScript = async (browser, file, open, expect) => {
  const { page, done } = await open(browser, file, { javaScriptEnabled: false });
  expect(await page.locator('.frames li').first().isVisible(), 'without script the frames are a list');
  expect(await page.locator('.pair .wet').isVisible(), 'without script the wet cloth stands below the dry one');
  expect(!await page.locator('#viewer').isVisible() && !await page.locator('#slide').isVisible(), 'without script no dead controls');
  await done();
};

const inert = async (page, expect) => {
  const found = await page.evaluate(() => ({
    scripts: document.scripts.length,
    strange: document.querySelectorAll('[onerror], [onload], i, b, iframe, object, embed, form, link').length,
    outside: [...document.querySelectorAll('[src], [href]')].map((one) => one.getAttribute('src') ?? one.getAttribute('href'))
      .filter((address) => !address.startsWith('data:')).length,
    heading: document.querySelector('h1').textContent,
    remarks: document.querySelector('.said').textContent,
  }));
  expect(found.scripts === 1 && found.strange === 0, `nothing that a text brought along: ${JSON.stringify(found)}`);
  expect(found.outside === 0, 'no address but data:');
  expect(found.heading.includes('<script>alert(1)</script>'), `the title is shown as it is: ${found.heading}`);
  expect(found.remarks.includes('<svg onload') && !/[\u0007\u202e]/.test(found.remarks), 'remarks are shown, without what turns or rings');
};

// The policy itself: neither a new script nor a new style nor a fetch gets through.
const locked = async (browser, file, open, expect) => {
  const { page, said, done } = await open(browser, file);
  const got = await page.evaluate(async () => {
    const script = document.createElement('script');
    script.textContent = 'globalThis.broken = true';
    document.body.append(script);
    const style = document.createElement('style');
    style.textContent = 'h1 { color: rgb(1, 2, 3) }';
    document.body.append(style);
    const fetched = await fetch('data:text/plain,x').then(() => true, () => false);
    return { ran: globalThis.broken === true, styled: getComputedStyle(document.querySelector('h1')).color === 'rgb(1, 2, 3)', fetched };
  });
  expect(!got.ran && !got.styled && !got.fetched, `the policy holds: ${JSON.stringify(got)}`);
  expect(said.some((text) => /Content Security Policy/.test(text)), 'and the browser says so');
  await done();
};

export const depth = async (browser, file, open, expect) => {
  const { page, said, done } = await open(browser, file);
  await inert(page, expect);
  await wetAndDry(page, expect);
  await melt(page, expect);
  expect(said.length === 0, `says ${said}`);
  await done();
  await withoutScript(browser, file, open, expect);
  await locked(browser, file, open, expect);
};
