"use strict";
// Units: the data are SI, texts come in both systems; one switch for the whole page.
const data = JSON.parse(document.getElementById("data").textContent);
let system = "trade";
const redraws = []; // what is told or drawn anew when the units or the width change

/** Size in SI, name and decimals of a kind of quantity in the units chosen. */
const unit = kind => data.units[kind][system];
/** SI to the units chosen. */
const scaled = (value, kind) => (value === null ? NaN : value / unit(kind).size);
const toldNumber = (value, kind) => (value === null ? "not known" : `${scaled(value, kind).toFixed(unit(kind).decimals)} ${unit(kind).name}`);
/** A text that may come in both systems. */
const inUnits = text => (typeof text === "string" ? text : text[system]);

/** An element with attributes and children; texts are texts, never markup. */
function el(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) made.setAttribute(name, value);
  for (const child of children.flat()) made.append(child);
  return made;
}

/** An element whose text follows the units. */
function toldEl(tag, attributes, text) {
  const made = el(tag, attributes);
  const tell = () => { made.textContent = inUnits(text); };
  redraws.push(tell);
  tell();
  return made;
}

function redraw() {
  for (const again of redraws) again();
}

function unitSwitch() {
  const choose = (name, words) => {
    const button = el("button", { type: "button", "aria-pressed": String(system === name) }, words);
    button.addEventListener("click", () => { system = name; redraw(); });
    redraws.push(() => button.setAttribute("aria-pressed", String(system === name)));
    return button;
  };
  return el("div", { class: "units", role: "group", "aria-label": "Units of the page" }, choose("trade", "inches, pounds"), choose("metric", "metric"));
}
