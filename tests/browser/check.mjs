// Looks at rendered reports: `node check.mjs FOLDER [SHOTS]`. FOLDER holds one folder a report, as the example
// `render` writes them. Says what is wrong, one line each, and exits 1 when anything is.
import { readFileSync, readdirSync, existsSync, mkdirSync, statSync } from "node:fs";
import { availableParallelism } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const [folder, shots] = process.argv.slice(2);
const browserPath = process.env.CHROMIUM ?? "/usr/bin/chromium";
const flags = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync", "--force-color-profile=srgb"];
const axe = readFileSync(new URL("./node_modules/axe-core/axe.min.js", import.meta.url), "utf8");
const widths = [390, 768, 1200];
/** Stops of the keyboard a summary may have. */
const stops = 60;
const problems = [];
const wrong = (where, what) => { problems.push(`${where}: ${what}`); console.log(`${where}: ${what}`); };

const browser = await chromium.launch({ executablePath: browserPath, args: flags });
const pages = readdirSync(folder).sort().flatMap(name => ["report.html", "index.html"].map(file => [name, resolve(folder, name, file)])).filter(([, path]) => existsSync(path));
// Large pages first, a few at a time: the machine has few cores, and a page waits for its turn anyway.
pages.sort((a, b) => statSync(b[1]).size - statSync(a[1]).size);
const all = pages.length;
await Promise.all(Array.from({ length: Math.min(3, availableParallelism() + 1) }, async () => {
  for (let next; (next = pages.shift());) {
    const started = Date.now();
    await look(...next);
    console.log(`looked at ${next[0]} in ${((Date.now() - started) / 1000).toFixed(0)} s`);
  }
}));
await browser.close();
if (problems.length) { console.log(`${problems.length} problems`); process.exit(1); }
console.log(`browser checks passed for ${all} pages`);

/** One page in both themes and all widths, then by keyboard, without script and on paper. */
async function look(name, path) {
  const url = pathToFileURL(path).href;
  const context = await browser.newContext({ viewport: { width: widths[0], height: 900 } });
  const page = await context.newPage();
  let where = name;
  watch(page, () => where, url);
  await page.goto(url);
  await page.evaluate(axe);
  for (const theme of ["light", "dark"]) {
    await page.emulateMedia({ colorScheme: theme });
    for (const width of widths) {
      where = `${name} ${theme} ${width}`;
      await page.setViewportSize({ width, height: 900 });
      const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      if (over > 0) wrong(where, `scrolls sideways by ${over} px: ${await widest(page)}`);
      // Geometry doesn't depend on the theme, colours don't on the width.
      if (theme === "light") for (const line of await page.evaluate(texts)) wrong(where, line);
      if (theme === "light") for (const line of await page.evaluate(clipped)) wrong(where, line);
      if (theme === "light" ? width === widths[0] : width === widths[2]) {
        const rules = theme === "light" ? {} : { runOnly: ["color-contrast"] };
        const found = await page.evaluate(rules => axe.run(document, { resultTypes: ["violations"], ...rules }), rules);
        for (const v of found.violations) wrong(where, `axe ${v.id}: ${v.help} (${v.nodes.length}): ${v.nodes[0].html.slice(0, 160)}`);
      }
      if (shots) {
        mkdirSync(shots, { recursive: true });
        await page.screenshot({ path: join(shots, `${name}-${theme}-${width}.png`), clip: { x: 0, y: 0, width, height: 2400 }, fullPage: true });
      }
    }
  }
  await page.emulateMedia({ colorScheme: "light" });
  await summary(name, page);
  await keyboard(name, page, context);
  await withoutScript(name, page, url);
  await print(name, page);
  if (name === "bar-phone") await routes(name, page, url);
  await context.close();
}

/** Texts of the summary that end where their box ends. */
function clipped() {
  const cuts = e => getComputedStyle(e).overflow !== "visible" && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 2);
  return [...document.querySelectorAll(".brief *")].filter(e => !e.closest(".tree,.long,svg") && e.checkVisibility() && cuts(e))
    .slice(0, 3).map(e => `cut off: ${e.outerHTML.slice(0, 120)}`);
}

/** One screen of 1200 by 900; few stops of the keyboard; pass, fail and open told apart by their frames. */
async function summary(name, page) {
  await page.setViewportSize({ width: widths[2], height: 900 });
  const found = await page.evaluate(() => {
    const brief = document.querySelector(".brief");
    if (!brief) return null;
    const forms = {};
    for (const b of document.querySelectorAll(".laws b, .f")) {
      const s = getComputedStyle(b);
      forms[b.classList[b.classList.length - 1]] = [s.borderTopStyle, s.borderTopWidth, s.borderBottomWidth].join(" ");
    }
    return {
      bottom: Math.round(brief.getBoundingClientRect().bottom + scrollY), forms,
      stops: [...brief.querySelectorAll("a[href],[tabindex='0'],summary,button")].filter(e => e.checkVisibility()).length,
    };
  });
  if (!found) return;
  if (!hostile(name) && found.bottom > 900) wrong(name, `the summary ends at ${found.bottom} px`);
  if (found.stops >= stops) wrong(name, `${found.stops} stops of the keyboard in the summary`);
  const frames = Object.values(found.forms);
  if (new Set(frames).size !== frames.length) wrong(name, `results look alike without colour: ${JSON.stringify(found.forms)}`);
}

/** Records written to break a page: their texts have no measure. */
function hostile(name) { return name.startsWith("hostile"); }

/** Console errors, page errors, and requests that leave the folder. */
function watch(page, place, url) {
  const wrongHere = what => wrong(place(), what);
  const home = url.slice(0, url.lastIndexOf("/") + 1);
  page.on("console", m => { if (m.type() === "error" && !m.text().includes("ERR_FILE_NOT_FOUND")) wrongHere(`console: ${m.text()}`); });
  page.on("pageerror", e => wrongHere(`error: ${e.message}`));
  page.on("request", r => { if (!r.url().startsWith(home) && !r.url().startsWith("data:")) wrongHere(`asks for ${r.url()}`); });
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
    // Where a page is narrow a list stands in place of a drawing.
    if (!svg.getClientRects().length) continue;
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
async function keyboard(name, page, context) {
  await page.setViewportSize({ width: widths[0], height: 900 });
  const wanted = await page.evaluate(() => {
    window.wanted = [...document.querySelectorAll("a[href],[tabindex='0'],summary,button,input")].filter(e => e.checkVisibility());
    window.seen = [];
    document.addEventListener("focusin", ({ target }) => {
      const s = getComputedStyle(target);
      window.seen.push([target, s.outlineStyle !== "none" && parseFloat(s.outlineWidth) >= 2]);
    });
    document.activeElement?.blur();
    scrollTo(0, 0);
    return window.wanted.length;
  });
  // Pressed without asking in between: a page has more than a thousand places to stop at.
  const keys = await context.newCDPSession(page);
  for (let i = 0; i < wanted; i += 50) {
    await Promise.all(Array.from({ length: Math.min(50, wanted - i) }, () => Promise.all(["rawKeyDown", "keyUp"].map(type =>
      keys.send("Input.dispatchKeyEvent", { type, key: "Tab", code: "Tab", windowsVirtualKeyCode: 9, nativeVirtualKeyCode: 9 })))));
  }
  for (const line of await page.evaluate(() => {
    const told = e => e?.outerHTML.slice(0, 100);
    const off = window.wanted.findIndex((e, i) => window.seen[i]?.[0] !== e);
    const hidden = window.seen.find(([, shown]) => !shown);
    const out = [];
    if (off >= 0) out.push(`tab ${off + 1} of ${window.wanted.length} lands on ${told(window.seen[off]?.[0])}, not on ${told(window.wanted[off])}`);
    if (hidden) out.push(`focus is not shown on ${told(hidden[0])}`);
    if (window.seen.length > window.wanted.length) out.push(`${window.seen.length} stops for ${window.wanted.length} places`);
    for (const e of document.querySelectorAll("*")) {
      if (e.scrollWidth > e.clientWidth + 1 && ["auto", "scroll"].includes(getComputedStyle(e).overflowX) && e.tabIndex < 0) out.push(`scrolls, but can't be focused: ${told(e)}`);
    }
    return out;
  })) wrong(`${name} keyboard`, line);
}

/** With script off all words are there and shown. */
async function withoutScript(name, page, url) {
  await page.setViewportSize({ width: widths[2], height: 900 });
  const on = await page.locator("body").innerText();
  const context = await browser.newContext({ javaScriptEnabled: false, viewport: { width: widths[2], height: 900 } });
  const plain = await context.newPage();
  await plain.goto(url);
  const off = await plain.locator("body").innerText();
  await context.close();
  if (on !== off) wrong(name, `without script ${off.length} characters are shown, with script ${on.length}`);
}

/** With all routes the phone prints to a dozen sheets. */
async function routes(name, page, url) {
  await page.goto(url.replace("report.html", "routes.html"));
  for (const format of ["A4", "Letter"]) {
    const pages = count(await page.pdf({ format }));
    if (pages < 2 || pages > 12) wrong(name, `${pages} pages of ${format} with all routes`);
  }
}

/** Pages of a PDF file. */
function count(pdf) { return pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g)?.length ?? 0; }

/** Prints to A4 and Letter; nothing is wider than the page. */
async function print(name, page) {
  await page.emulateMedia({ media: "print" });
  for (const [format, width] of [["A4", 794 - 84], ["Letter", 816 - 84]]) {
    await page.setViewportSize({ width, height: 1000 });
    const over = await page.evaluate(() => {
      const w = document.documentElement.clientWidth;
      return [...document.querySelectorAll("body *")].filter(e => e.getBoundingClientRect().right > w + 2).slice(0, 3).map(e => `${Math.round(e.getBoundingClientRect().right - w)} px: ${e.outerHTML.slice(0, 120)}`);
    });
    for (const html of over) wrong(`${name} print ${format}`, `cut by ${html}`);
    const pdf = await page.pdf({ format, tagged: true, path: shots ? join(shots, `${name}-${format}.pdf`) : undefined });
    if (!pdf.subarray(0, 5).toString().startsWith("%PDF-")) wrong(name, `no PDF for ${format}`);
    const summary = await page.evaluate(() => document.body.dataset.print === "summary" && !!document.querySelector(".brief"));
    if (!summary || hostile(name)) continue;
    const pages = count(pdf);
    if (pages !== 1) wrong(name, `the summary takes ${pages} pages of ${format}`);
    const small = await page.evaluate(() => {
      const scale = e => { const svg = e.closest("svg"); return svg ? svg.getBoundingClientRect().width / svg.viewBox.baseVal.width : 1; };
      const told = e => e.checkVisibility() && [...e.childNodes].some(c => c.nodeType === 3 && c.textContent.trim());
      return [...document.querySelectorAll(".brief *")].filter(told).map(e => [parseFloat(getComputedStyle(e).fontSize) * scale(e) * .75, e.textContent]).filter(([pt]) => pt < 7.995).slice(0, 3);
    });
    for (const [pt, text] of small) wrong(`${name} print ${format}`, `${pt.toFixed(1)} pt: ${text.slice(0, 60)}`);
  }
}
