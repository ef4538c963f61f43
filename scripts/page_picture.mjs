// Pictures of a report for README.md: its top, and its charts from the draw curve to the strains.
//   node scripts/page_picture.mjs PACKAGES PAGE FOLDER
// PACKAGES: the folder npm installed into (build/release/cases/page).
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [packages, file, folder] = process.argv.slice(2).map(path => resolve(path));
const { chromium } = createRequire(join(packages, "package.json"))("playwright-core");
const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox"] });
const page = await browser.newPage({ viewport: { width: 900, height: 900 } });
await page.goto(pathToFileURL(file).href);
await page.waitForFunction(() => document.documentElement.dataset.drawn === "yes" && [...document.querySelectorAll(".chart")].every(chart => chart.firstElementChild));
const top = words => page.evaluate(text => [...document.querySelectorAll("h2, figure")].find(e => (e.tagName === "H2" ? e : e.querySelector("figcaption")).textContent.startsWith(text)).getBoundingClientRect().top + window.scrollY, words);
const shoot = (name, from, to) => page.screenshot({ path: join(folder, name), fullPage: true, clip: { x: 0, y: from, width: 900, height: to - from } });
await shoot("report.png", 0, await top("Twelve questions"));
await shoot("report-charts.png", await top("Side view"), await top("Stress on belly and back"));
await browser.close();
