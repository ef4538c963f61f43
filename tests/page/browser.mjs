// Shows the report and the comparison in a browser without a screen, on a desktop and on a phone, and looks at what came of it.
//   node browser.mjs PACKAGES PROGRAM EXAMPLES FOLDER
// PACKAGES: the folder npm installed into; FOLDER: results, pages and screenshots go there.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { mkdirSync, readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";

const [packages, program, examples, folder] = process.argv.slice(2).map(path => resolve(path));
const require = createRequire(join(packages, "package.json"));
const { chromium } = require("playwright-core");
const { HtmlValidate } = require("html-validate");

const run = (...words) => execFileSync(program, words, { cwd: folder, encoding: "utf8", stdio: ["ignore", "pipe", "inherit"] });
const caseFile = name => join(examples, name, `${name}.toml`);
mkdirSync(folder, { recursive: true });

/** What is wrong with the markup, scripts and their data left out. */
async function faultsOf(html) {
  const validator = new HtmlValidate({
    extends: ["html-validate:standard"],
    rules: { "no-inline-style": "off", "svg-focusable": "off", "prefer-native-element": "off", "long-title": "off", "require-sri": "off", "no-trailing-whitespace": "off", "void-style": "off", "doctype-style": "off", "attribute-boolean-style": "off" },
  });
  const bare = html.replace(/(<script\b[^>]*>)[\s\S]*?(<\/script>)/g, "$1$2");
  const outcome = await validator.validateString(bare);
  return outcome.results.flatMap(result => result.messages.map(message => `${message.line}: ${message.ruleId}: ${message.message}`));
}

/** Contrast of text with the white or tinted ground it stands on (WCAG 2.1, 2018: at least 4.5). */
const contrastFaults = () => {
  const luminance = rgb => { const [r, g, b] = rgb.map(v => v / 255).map(v => (v <= .03928 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4)); return .2126 * r + .7152 * g + .0722 * b; };
  const parse = text => { const n = (text.match(/[\d.]+/g) || []).map(Number); return n.length === 4 && n[3] === 0 ? null : n.slice(0, 3); };
  const ground = e => { for (let at = e; at; at = at.parentElement) { const c = parse(getComputedStyle(at).backgroundColor); if (c && c.length === 3) return c; } return [255, 255, 255]; };
  const found = new Set();
  for (const e of document.querySelectorAll("main *")) {
    const own = [...e.childNodes].some(node => node.nodeType === 3 && node.textContent.trim());
    if (!own) continue;
    const style = getComputedStyle(e);
    const ink = parse(e.namespaceURI.endsWith("svg") ? style.fill : style.color);
    if (!ink || ink.length < 3) continue;
    const a = luminance(ink), b = luminance(ground(e));
    if ((Math.max(a, b) + .05) / (Math.min(a, b) + .05) < 4.5) found.add(`${e.textContent.slice(0, 40)}: ${style.color} ${style.fill}`);
  }
  return [...found];
};

/** Shares of pixels of a picture that are not white, and how many colours it has. */
const pictureStatistics = () => [...document.querySelectorAll("figure img")].map(image => {
  const canvas = document.createElement("canvas");
  canvas.width = image.naturalWidth;
  canvas.height = image.naturalHeight;
  const context = canvas.getContext("2d");
  context.drawImage(image, 0, 0);
  const { data } = context.getImageData(0, 0, canvas.width, canvas.height);
  const colours = new Set();
  let inked = 0, blue = 0, orange = 0;
  for (let i = 0; i < data.length; i += 4) {
    const [r, g, b] = [data[i], data[i + 1], data[i + 2]];
    colours.add((r << 16) | (g << 8) | b);
    if (Math.min(r, g, b) < 240) ++inked;
    if (b - r > 60) ++blue;
    if (r - b > 60) ++orange;
  }
  const n = data.length / 4;
  return { width: canvas.width, inked: inked / n, blue: blue / n, orange: orange / n, colours: colours.size };
});

const browser = await chromium.launch({ executablePath: process.env.CHROMIUM || "/usr/bin/chromium", args: ["--no-sandbox"] });

/** Opens a page at one width and checks what holds of every page. */
async function open(file, name, width) {
  const context = await browser.newContext({ viewport: { width, height: 900 }, deviceScaleFactor: 1 });
  const page = await context.newPage();
  const said = [], asked = [];
  page.on("console", message => said.push(`${message.type()}: ${message.text()}`));
  page.on("pageerror", error => said.push(`error: ${error.message}`));
  page.on("request", request => { if (!/^(file|data):/.test(request.url())) asked.push(request.url()); });
  await page.goto(pathToFileURL(file).href);
  await page.waitForFunction(() => document.documentElement.dataset.drawn === "yes" && [...document.querySelectorAll(".chart")].every(chart => chart.firstElementChild));
  const seen = await page.evaluate(() => ({
    charts: [...document.querySelectorAll(".chart")].map(chart => ({ label: chart.firstElementChild.getAttribute("aria-label"), marks: chart.querySelectorAll("path, circle, rect").length, height: chart.getBoundingClientRect().height })),
    wide: document.documentElement.scrollWidth - window.innerWidth,
    notNumbers: document.querySelector("main").textContent.match(/\b(NaN|undefined|Infinity|null)\b/g),
    small: [...document.querySelectorAll("button")].filter(button => button.getBoundingClientRect().height < 40).length,
  }));
  const where = `${name} at ${width}`;
  assert.deepEqual(said, [], `${where}: the console is silent`);
  assert.deepEqual(asked, [], `${where}: nothing is asked of the network`);
  assert.ok(seen.charts.length >= 6, `${where}: there are charts`);
  for (const chart of seen.charts) {
    assert.ok(chart.label && chart.label.length > 20, `${where}: a chart has words in its place`);
    assert.ok(chart.marks > 1 && chart.height > 30, `${where}: '${chart.label.slice(0, 60)}' is drawn`);
  }
  assert.ok(seen.wide <= 0, `${where}: the page is not wider than the window`);
  assert.equal(seen.notNumbers, null, `${where}: every number is one`);
  assert.equal(seen.small, 0, `${where}: buttons are large enough for a thumb`);
  assert.deepEqual(await page.evaluate(contrastFaults), [], `${where}: texts stand out`);
  assert.deepEqual(await faultsOf(await page.content()), [], `${where}: what was made is valid HTML`);
  await page.screenshot({ path: join(folder, `${name}-${width}.png`), fullPage: true });
  return { page, context, seen };
}

try {
  run("draw", caseFile("maple-glass-thin"), "--out", "thin", "--quiet", "--pictures");
  run("draw", caseFile("cherry-hickory-unlike"), "--out", "unlike", "--quiet");
  const first = readFileSync(join(folder, "thin/report.html"), "utf8");
  run("report", "thin");
  assert.equal(readFileSync(join(folder, "thin/report.html"), "utf8"), first, "the page made again is the same");
  run("compare", "thin", "unlike", "--equal-weight", "--page", "comparison.html");
  run("vary", caseFile("ash-hickory-board"), "--key", "limb.width.rows[3][2] = 0.4, 0.5, 0.6", "--key", "solve.wood = elastic", "--out", "tips.csv", "--quiet");
  assert.deepEqual(await faultsOf(first), [], "the page as it is written is valid HTML");

  const summary = JSON.parse(readFileSync(join(folder, "thin/summary.json"), "utf8"));
  for (const width of [1200, 360]) {
    const { page, context } = await open(join(folder, "thin/report.html"), "report", width);
    const text = await page.innerText("main");
    assert.ok(text.includes(`${(summary.draw_weight_N / 4.4482216152605).toFixed(1)} lb`), "the weight is told in pounds");
    const trade = await page.innerText(".chart >> nth=0");
    await page.click("text=metric");
    const metric = await page.innerText("main");
    assert.ok(metric.includes(`${summary.draw_weight_N.toFixed(0)} N`), "the switch tells it in newtons");
    assert.notEqual(await page.innerText(".chart >> nth=0"), trade, "charts follow the switch");
    // What is left in inches is what is so by name.
    assert.doesNotMatch(await page.innerText(".verdict"), /\d (in|lb)\b/, "the verdict follows the switch");
    const [bow, glue] = await page.evaluate(pictureStatistics);
    assert.ok(bow.width >= 1000 && bow.inked > .02 && bow.inked < .7 && bow.blue > .002 && bow.orange > .002 && bow.colours > 100, `the picture of the bow is one: ${JSON.stringify(bow)}`);
    assert.ok(glue.width >= 1000 && glue.inked > .01 && glue.colours > 20, `the picture of the glue is one: ${JSON.stringify(glue)}`);
    await context.close();
    for (const [file, name] of [["unlike/report.html", "unlike"], ["comparison.html", "comparison"], ["tips.html", "study"]])
      await (await open(join(folder, file), name, width)).context.close();
  }
  // On paper nothing is cut off, and the page is not endless.
  const { page, context } = await open(join(folder, "thin/report.html"), "paper", 800);
  await page.pdf({ path: join(folder, "report.pdf"), format: "A4", margin: { top: "12mm", bottom: "12mm", left: "12mm", right: "12mm" } });
  const sheets = (readFileSync(join(folder, "report.pdf"), "latin1").match(/\/Type\s*\/Page\b/g) || []).length;
  assert.ok(sheets >= 4 && sheets <= 40, `the page prints on ${sheets} sheets`);
  await context.close();
} finally {
  await browser.close();
}
console.log("The pages hold.");
