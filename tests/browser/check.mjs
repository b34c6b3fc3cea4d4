// Looks at rendered reports: `node check.mjs FOLDER [SHOTS]`. FOLDER holds one folder a report, as the example
// `render` writes them. Says what is wrong, one line each, and exits 1 when anything is.
import { readFileSync, readdirSync, existsSync, mkdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const [folder, shots] = process.argv.slice(2);
const browserPath = process.env.CHROMIUM ?? "/usr/bin/chromium";
const flags = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync", "--force-color-profile=srgb"];
const axe = readFileSync(new URL("./node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const widths = [360, 820, 1280];
const problems = [];
const wrong = (where, what) => { problems.push(`${where}: ${what}`); console.log(`${where}: ${what}`); };

const browser = await chromium.launch({ executablePath: browserPath, args: flags });
for (const name of readdirSync(folder).sort()) {
  for (const file of ["report.html", "index.html"]) {
    const path = resolve(folder, name, file);
    if (existsSync(path)) await look(name, path);
  }
}
await browser.close();
if (problems.length) { console.log(`${problems.length} problems`); process.exit(1); }
console.log("browser checks passed");

async function look(name, path) {
  const url = pathToFileURL(path).href;
  for (const theme of ["light", "dark"]) {
    for (const width of widths) {
      const where = `${name} ${theme} ${width}`;
      const context = await browser.newContext({ colorScheme: theme, viewport: { width, height: 900 } });
      const page = await context.newPage();
      watch(page, where, url);
      await page.goto(url);
      const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      if (over > 0) wrong(where, `scrolls sideways by ${over} px: ${await widest(page)}`);
      for (const line of await page.evaluate(texts)) wrong(where, line);
      if (theme === "light" ? width === widths[0] : width === widths[2]) {
        await page.evaluate(axe);
        const found = await page.evaluate(() => axe.run(document, { resultTypes: ["violations"] }));
        for (const v of found.violations) wrong(where, `axe ${v.id}: ${v.help} (${v.nodes.length}): ${v.nodes[0].html.slice(0, 160)}`);
      }
      if (shots) {
        mkdirSync(shots, { recursive: true });
        await page.screenshot({ path: join(shots, `${name}-${theme}-${width}.png`), clip: { x: 0, y: 0, width, height: 2400 }, fullPage: true });
      }
      await context.close();
    }
  }
  await keyboard(name, url);
  await withoutScript(name, url);
  await print(name, url);
}

/** Console errors, page errors, and requests that leave the folder. */
function watch(page, where, url) {
  const home = url.slice(0, url.lastIndexOf("/") + 1);
  page.on("console", m => { if (m.type() === "error" && !m.text().includes("ERR_FILE_NOT_FOUND")) wrong(where, `console: ${m.text()}`); });
  page.on("pageerror", e => wrong(where, `error: ${e.message}`));
  page.on("request", r => { if (!r.url().startsWith(home) && !r.url().startsWith("data:")) wrong(where, `asks for ${r.url()}`); });
}

function widest(page) {
  return page.evaluate(() => {
    const w = document.documentElement.clientWidth;
    const out = [...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > w + 1 && !e.closest(".scroll"));
    return out.slice(0, 3).map(e => e.outerHTML.slice(0, 120)).join(" | ");
  });
}

/** In drawings: no two text boxes overlap, no text below 9 px. On the page: no text below 9 px. */
function texts() {
  const out = [];
  for (const svg of document.querySelectorAll("svg")) {
    const boxes = [...svg.querySelectorAll("text")].map(t => ({ t: t.textContent, b: t.getBoundingClientRect(), s: parseFloat(getComputedStyle(t).fontSize) }));
    const scale = svg.getBoundingClientRect().width / svg.viewBox.baseVal.width;
    for (const [i, a] of boxes.entries()) {
      if (a.s * scale < 9) out.push(`svg text "${a.t}" is ${(a.s * scale).toFixed(1)} px`);
      for (const b of boxes.slice(i + 1)) {
        if (a.b.left < b.b.right - .5 && b.b.left < a.b.right - .5 && a.b.top < b.b.bottom - .5 && b.b.top < a.b.bottom - .5) out.push(`svg texts "${a.t}" and "${b.t}" overlap`);
      }
      const frame = svg.getBoundingClientRect();
      if (a.b.left < frame.left - 1 || a.b.right > frame.right + 1 || a.b.bottom > frame.bottom + 1) out.push(`svg text "${a.t}" leaves the drawing`);
    }
  }
  return out;
}

/** Tab reaches every link and every region that scrolls, in order, and shows where it is. */
async function keyboard(name, url) {
  const context = await browser.newContext({ viewport: { width: 360, height: 900 } });
  const page = await context.newPage();
  await page.goto(url);
  const wanted = await page.evaluate(() => [...document.querySelectorAll("a[href],[tabindex='0'],summary,button,input")].length);
  // A thousand key presses are slow; the first hundred and fifty are pressed, the rest is asked of the tree.
  const seen = new Set();
  for (let i = 0; i < Math.min(wanted, 150); i++) {
    await page.keyboard.press("Tab");
    const at = await page.evaluate(() => {
      const e = document.activeElement;
      const s = getComputedStyle(e);
      return { id: [...document.querySelectorAll("a[href],[tabindex='0'],summary,button,input")].indexOf(e), shown: s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2, html: e.outerHTML.slice(0, 100) };
    });
    if (at.id !== i) { wrong(`${name} keyboard`, `tab ${i + 1} lands on ${at.html}`); break; }
    if (!at.shown) { wrong(`${name} keyboard`, `focus is not shown on ${at.html}`); break; }
    seen.add(at.id);
  }
  const hidden = await page.evaluate(() => [...document.querySelectorAll("a[href],[tabindex='0']")].filter(e => e.tabIndex < 0 || getComputedStyle(e).visibility === "hidden").length);
  if (hidden) wrong(`${name} keyboard`, `${hidden} links can't be reached`);
  const unreachable = await page.evaluate(() => [...document.querySelectorAll("*")].filter(e => e.scrollWidth > e.clientWidth + 1 && ["auto", "scroll"].includes(getComputedStyle(e).overflowX) && e.tabIndex < 0).map(e => e.outerHTML.slice(0, 100)));
  for (const html of unreachable) wrong(`${name} keyboard`, `scrolls, but can't be focused: ${html}`);
  await context.close();
}

/** With script off all words are there and shown. */
async function withoutScript(name, url) {
  const words = async javaScriptEnabled => {
    const context = await browser.newContext({ javaScriptEnabled, viewport: { width: 1280, height: 900 } });
    const page = await context.newPage();
    await page.goto(url);
    const text = await page.locator("body").innerText();
    await context.close();
    return text;
  };
  const [on, off] = [await words(true), await words(false)];
  if (on !== off) wrong(name, `without script ${off.length} characters are shown, with script ${on.length}`);
}

/** Prints to A4 and Letter; nothing is wider than the page. */
async function print(name, url) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 } });
  const page = await context.newPage();
  await page.goto(url);
  for (const [format, width] of [["A4", 794 - 106], ["Letter", 816 - 106]]) {
    await page.emulateMedia({ media: "print" });
    await page.setViewportSize({ width, height: 1000 });
    const over = await page.evaluate(() => {
      const w = document.documentElement.clientWidth;
      return [...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > w + 2).slice(0, 3).map(e => `${Math.round(e.getBoundingClientRect().right - w)} px: ${e.outerHTML.slice(0, 120)}`);
    });
    for (const html of over) wrong(`${name} print ${format}`, `cut by ${html}`);
    const pdf = await page.pdf({ format, tagged: true, path: shots ? join(shots, `${name}-${format}.pdf`) : undefined });
    if (!pdf.subarray(0, 5).toString().startsWith("%PDF-")) wrong(name, `no PDF for ${format}`);
  }
  await context.close();
}
