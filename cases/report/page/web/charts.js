"use strict";
// What all charts share. Colours of Okabe and Ito (2008), apart in every common kind of colour blindness; lines differ in dashes too.
const colours = ["#0072b2", "#d55e00", "#007a5a", "#a3568a", "#8a6d00", "#1d1d21", "#3f97c9", "#b86b00"];
const dashes = ["", "7 4", "2 3", "9 3 2 3", "12 4", "1 2", "5 2 1 2", "3 3"];
const beltColours = { belly: colours[0], back: colours[1] };

/** A figure whose drawing is made anew for its width and units. make(width) returns an SVG or HTML element. */
function figure(title, note, alternative, make, legend = []) {
  const place = el("div", { class: "chart" });
  const caption = el("figcaption", {}, toldEl("span", {}, title));
  if (note) caption.append(toldEl("span", { class: "soft" }, note));
  const made = el("figure", {}, caption);
  if (legend.length) made.append(legendList(legend));
  made.append(place);
  const draw = () => {
    const width = Math.max(280, place.clientWidth || document.getElementById("page").clientWidth - 32 || 640);
    const drawing = make(width);
    drawing.setAttribute("role", "img");
    drawing.setAttribute("aria-label", `${inUnits(title)}. ${inUnits(alternative)}`);
    place.replaceChildren(drawing);
  };
  redraws.push(draw);
  queueMicrotask(draw);
  return made;
}

/** Entries {name, colour, dash}: a sample of each line beside its name. */
function legendList(entries) {
  return el("ul", { class: "legend" }, entries.map(entry => {
    const sample = d3.create("svg").attr("width", 34).attr("height", 10).attr("aria-hidden", "true");
    sample.append("line").attr("x1", 0).attr("x2", 34).attr("y1", 5).attr("y2", 5).attr("stroke", entry.colour).attr("stroke-width", 2.5)
      .attr("stroke-dasharray", entry.dash || null);
    return el("li", {}, sample.node(), entry.name);
  }));
}

const common = width => ({ width, style: { fontSize: "12px", fontFamily: "inherit", color: "#1d1d21", background: "white" } });

/** Axis of draw or station in the units chosen. */
const axis = (kind, label) => ({ label: `${label} [${unit(kind).name}]`, labelArrow: "none", labelAnchor: "center" });
/** Upright axes carry their name above them, to the left. */
const upright = (kind, label) => ({ label: `${label} [${unit(kind).name}]`, labelArrow: "none", grid: true });

/** Columns {a: [...], b: [...]} to rows, each scaled by its kind. */
function rows(columns, kinds) {
  const names = Object.keys(kinds);
  return (columns[names[0]] || []).map((_, i) => Object.fromEntries(names.map(name =>
    [name, kinds[name] ? scaled(columns[name][i], kinds[name]) : columns[name][i]])));
}

/** Room above a chart for the names of endMarks(). */
const endMarkRoom = 62;

/** Where layers end, as lines with their names above the chart, in rows so that neighbours stay apart. fy: of the strip that carries them. */
function endMarks(limb, fy) {
  const ends = limb.marks.map(mark => ({ at: scaled(mark.station, "draw"), text: mark.text })).sort((a, b) => a.at - b.at);
  const facet = fy === undefined ? {} : { fy: () => fy };
  return [
    Plot.ruleX(ends, { x: "at", stroke: "#55565c", strokeDasharray: "2 3" }),
    ...[0, 1, 2].map(row => Plot.text(ends.filter((_, i) => i % 3 === row), { x: "at", text: "text", ...facet, frameAnchor: "top", lineAnchor: "bottom", dy: -4 - 13 * row, fill: "#55565c" })),
  ];
}

/** Ticks of a strip: few, and none so near its edges that the next strip's would lie on it. */
function innerTicks(values) {
  const [low, high] = d3.extent([...values, 0]);
  return d3.ticks(low, high, 3).filter(tick => tick <= low + .9 * (high - low) && tick >= low + .1 * (high - low));
}

/** Heights of labels, pushed apart to a least distance; places ascending. */
function spread(places, least) {
  const result = [];
  for (const place of places) result.push(Math.max(place, result.length ? result[result.length - 1] + least : -Infinity));
  return result;
}
