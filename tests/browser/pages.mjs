// Pages in headless Chromium: usage: node pages.mjs FOLDER. Fails with a line for each thing that is amiss.
import { execFileSync } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { chromium } from 'playwright-core';
import { HtmlValidate, FileSystemConfigLoader } from 'html-validate';
import { depth } from './depth.mjs';

const folder = path.resolve(process.argv[2]);
const axe = fs.readFileSync('node_modules/axe-core/axe.min.js', 'utf8');
const SIZES = { A4: [210, 297], Letter: [215.9, 279.4] }; // mm
const MARGIN_MM = 14; // of page.css, at the sides
const MOST_PAGES = 14;
const MOST_BYTES = 8 * 1024 * 1024;
let amiss = 0;
let checks = 0;

export const expect = (fine, what) => {
  checks++;
  if (!fine) {
    amiss++;
    console.log(`AMISS  ${what}`);
  }
};

// A page of its own context that may fetch nothing; what it says or tries is kept.
export const open = async (browser, file, options = {}) => {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...options });
  const page = await context.newPage();
  const said = [];
  page.on('console', (message) => said.push(message.text()));
  page.on('pageerror', (error) => said.push(String(error)));
  page.on('dialog', (dialog) => { said.push(`dialog ${dialog.message()}`); dialog.dismiss(); });
  await context.route('**/*', (route) => {
    const url = route.request().url();
    if (url.startsWith('file://') || url.startsWith('data:')) {
      return route.continue();
    }
    said.push(`asks for ${url}`);
    return route.abort();
  });
  await page.goto(`file://${file}`);
  await page.evaluate(() => Promise.all([...document.images].map((image) => image.decode())));
  return { page, said, done: async () => { await context.close(); } };
};

const valid = async (file, name) => {
  const validator = new HtmlValidate(new FileSystemConfigLoader({ root: true, extends: ['html-validate:standard'] }));
  const report = await validator.validateFile(file);
  for (const message of report.results.flatMap((result) => result.messages)) {
    expect(false, `${name}: HTML ${message.line}:${message.column} ${message.ruleId}: ${message.message}`);
  }
  expect(report.valid, `${name}: valid HTML`);
};

const accessible = async (page, what) => {
  await page.evaluate(axe);
  const { violations } = await page.evaluate(() => globalThis.axe.run(document, {
    runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
  }));
  for (const fault of violations) {
    if (fault.impact === 'serious' || fault.impact === 'critical') {
      expect(false, `${what}: ${fault.id}: ${fault.help}: ${fault.nodes[0].html.slice(0, 120)}`);
    }
  }
  expect(true, what);
};

// Elements that stick out to the right of what the window shows.
const overflow = (page) => page.evaluate(() => {
  const wide = document.documentElement.clientWidth;
  const inside = (element) => element.closest('.half') !== null; // cut on purpose
  return [...document.querySelectorAll('body *')].filter((element) => {
    const place = element.getBoundingClientRect();
    return place.width > 0 && place.right > wide + 0.5 && !inside(element);
  }).map((element) => `${element.tagName}.${element.className}`).slice(0, 3);
});

const fits = async (browser, file, name) => {
  for (const [width, colorScheme] of [[320, 'light'], [360, 'light'], [1280, 'light'], [1280, 'dark']]) {
    const { page, said, done } = await open(browser, file, { viewport: { width, height: 800 }, colorScheme });
    const out = await overflow(page);
    expect(out.length === 0, `${name}: at ${width} px these stick out: ${out}`);
    expect(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), `${name}: scrolls sideways at ${width} px`);
    if (width !== 320) {
      await accessible(page, `${name}: ${width} px ${colorScheme}`);
    }
    expect(said.length === 0, `${name}: says ${said}`);
    await done();
  }
};

// Every word of the PDF lies between the margins, and the last line of the scenario is there.
const printed = async (page, name) => {
  for (const [format, [width]] of Object.entries(SIZES)) {
    const file = path.join(folder, `${name}-${format}.pdf`);
    await page.pdf({ path: file, format, preferCSSPageSize: false });
    const pages = Number(/Pages:\s+(\d+)/.exec(execFileSync('pdfinfo', [file], { encoding: 'utf8' }))[1]);
    expect(pages >= 3 && pages <= MOST_PAGES, `${name}: ${pages} pages on ${format}`);
    const boxes = execFileSync('pdftotext', ['-bbox', file, '-'], { encoding: 'utf8' });
    const right = ((width - MARGIN_MM) / 25.4) * 72 + 1.5;
    const left = (MARGIN_MM / 25.4) * 72 - 1.5;
    const out = [...boxes.matchAll(/xMin="([\d.]+)".*?xMax="([\d.]+)".*?>(.*?)<\/word>/g)]
      .filter(([, from, to]) => Number(from) < left || Number(to) > right);
    expect(out.length === 0, `${name}: beyond the margin of ${format}: ${out.slice(0, 3).map((word) => word[3])}`);
    expect(/>detail:<\/word>\s*<word[^>]*>draft</.test(boxes), `${name}: the end of the scenario is missing on ${format}`);
    await page.emulateMedia({ media: 'print' });
    await page.setViewportSize({ width: Math.floor(((width - 2 * MARGIN_MM) / 25.4) * 96), height: 900 });
    const wide = await overflow(page);
    expect(wide.length === 0, `${name}: on ${format} these stick out: ${wide}`);
    await page.emulateMedia({ media: 'screen' });
  }
};

const browser = await chromium.launch({ executablePath: '/usr/bin/chromium', args: ['--no-sandbox'] });
for (const entry of fs.readdirSync(folder).filter((one) => one.endsWith('.html')).sort()) {
  const file = path.join(folder, entry);
  const name = path.basename(entry, '.html');
  expect(fs.statSync(file).size < MOST_BYTES, `${name}: larger than 8 MiB`);
  await valid(file, name);
  if (name === 'depth' || name === 'moon-scarf') {
    await fits(browser, file, name);
  }
  const { page, said, done } = await open(browser, file);
  if (name !== 'depth') {
    await accessible(page, name);
    expect((await overflow(page)).length === 0, `${name}: sticks out`);
  }
  await printed(page, name);
  expect(said.length === 0, `${name}: says ${said}`);
  await done();
}
await depth(browser, path.join(folder, 'depth.html'), open, expect);
await browser.close();
console.log(`${checks - amiss} of ${checks} checks hold`);
process.exit(amiss === 0 ? 0 : 1);
