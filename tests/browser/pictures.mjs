// Makes the pictures of the front page: `node pictures.mjs FOLDER OUT`. FOLDER is what `report` writes of several records.
import { mkdirSync } from "node:fs";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { chromium } from "playwright-core";

const [folder, out] = process.argv.slice(2);
mkdirSync(out, { recursive: true });
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: ["--no-sandbox", "--disable-gpu",
  "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync", "--force-color-profile=srgb"] });

/** From the top of the first element to the bottom of the last, with a margin. */
async function picture(file, path, width, first, last) {
  const context = await browser.newContext({ colorScheme: "light", viewport: { width, height: 900 }, deviceScaleFactor: 1.5 });
  const page = await context.newPage();
  await page.goto(pathToFileURL(resolve(folder, path)).href);
  // What is folded stands open only where it is the picture.
  await page.evaluate(s => { for (let d = document.querySelector(s)?.closest("details"); d; d = d.parentElement.closest("details")) d.open = true; }, first);
  const [a, b] = [await page.locator(first).first().boundingBox(), await page.locator(last).first().boundingBox()];
  const y = Math.max(0, a.y - 16);
  await page.setViewportSize({ width, height: Math.ceil(b.y + b.height + 16 - y) });
  await page.evaluate(y => scrollTo(0, y), y);
  await page.screenshot({ path: join(out, file) });
  await context.close();
}

await picture("verdict.png", "bar-phone.html", 1200, "section.brief", "section.brief");
await picture("route.png", "bar-phone.html", 980, "#route-display", ":has(> #route-display), details:has(> summary #route-display)");
await picture("devices.png", "index.html", 1280, "header", "main .devices");
await browser.close();
