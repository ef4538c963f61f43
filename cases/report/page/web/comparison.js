"use strict";
// The page of several runs side by side, all on the same scales.

/** Every quantity, a column for each run, differences from the first beneath. */
function quantityTable() {
  const head = el("tr", {}, el("th", { scope: "col" }, "quantity"), data.runs.map((run, i) => el("th", { scope: "col", class: "number" }, `${i + 1}. ${run.name}`)));
  return el("div", { class: "scroll" }, el("table", {}, el("thead", {}, head), el("tbody", {}, data.quantities.map(row => el("tr", {}, el("th", { scope: "row" }, row.name),
    row.values.map((value, i) => el("td", { class: "number" }, toldEl("span", {}, value), i === 0 ? "" : toldEl("span", { class: "soft difference" }, row.differences[i]))))))));
}

/** Strain of a run less that of the first, face by face, where both have the station. */
function strainDifference(runs) {
  const kind = "strain";
  const curves = () => runs.slice(1).flatMap((run, k) => ["belly", "back"].map(side => {
    const first = outerFace(runs[0].limb, side, "strain", kind), at = d3.bisector(d => d.station).left;
    const points = outerFace(run.limb, side, "strain", kind).filter(d => first.length && d.station >= first[0].station && d.station <= first[first.length - 1].station).map(d => {
      const i = Math.min(first.length - 1, Math.max(1, at(first, d.station))), a = first[i - 1], b = first[i];
      const t = b.station > a.station ? (d.station - a.station) / (b.station - a.station) : 0;
      return { station: d.station, value: d.value - (a.value + t * (b.value - a.value)) };
    });
    return { name: `${run.name} minus the first, ${side}`, points, colour: colours[k + 1], dash: side === "back" ? dashes[1] : "" };
  }));
  const make = width => Plot.plot({
    ...common(width), height: Math.min(360, Math.max(260, width * .42)), marginRight: 16, marginBottom: 40,
    x: axis("draw", "distance from center"), y: upright(kind, "difference in strain"),
    marks: [Plot.ruleY([0]), ...curves().map(curve => Plot.line(curve.points, { x: "station", y: "value", stroke: curve.colour, strokeDasharray: curve.dash || null, strokeWidth: 2 }))],
  });
  return figure("Difference in strain on belly and back", "From the first bow, inch by inch.", curves().map(curve => `${curve.name}: ${extremes(curve.points, kind)}`).join("; "), make, curves());
}

function comparison() {
  const page = document.getElementById("page");
  const named = data.runs.map((run, i) => ({ ...run, name: `${i + 1}. ${run.name}` }));
  page.append(el("h1", {}, "Bows side by side"), el("p", { class: "soft" }, `By ${data.program}. Differences are from the first.`), unitSwitch());
  page.append(el("ol", { class: "questions" }, data.runs.map(run => el("li", {}, el("h3", {}, `${run.name}: ${run.title}`), toldEl("p", {}, run.text), el("p", { class: "soft" }, `Verdict: ${run.verdict}. Draw length is measured ${run.convention}.`)))));
  if (inUnits(data.equal_weight)) page.append(toldEl("p", { class: "caution" }, data.equal_weight));
  page.append(heading("Numbers"), quantityTable());
  const drawn = named.filter(run => run.curve.drawn.draw.length);
  if (drawn.length) page.append(heading("Draw curves"), drawCurve(drawn));
  const views = stage => named.flatMap((run, i) => run.shapes.filter(shape => shape.name === stage).map(shape => ({ name: run.name, shape, look: { colour: colours[i], fill: "none", dash: dashes[i] || null } })));
  for (const [stage, title] of [["unstrung", "Unstrung"], ["braced", "Braced"], ["full draw", "Full draw"]])
    if (views(stage).length) page.append(sideView(title, "True scale, all on one ruler.", views(stage)));
  const limbs = named.filter(run => run.limbs.length).map(run => ({ name: run.name, limb: run.limbs[0] }));
  if (limbs.length)
    page.append(heading("Along the limb, at the last draw"), el("p", { class: "soft" }, "The upper limb, where upper and lower differ."), bending(limbs), outerFaces("Strain on belly and back", limbs, "strain", "strain"),
      ...(limbs.length > 1 ? [strainDifference(limbs)] : []), outerFaces("Stress on belly and back", limbs, "stress", "stress"));
}
