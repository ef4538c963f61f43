"use strict";
/** The face of the whole limb on one side at every station: that of the outermost layer there. */
function outerFace(limb, side, what, kind) {
  const layers = side === "back" ? [...limb.layers].reverse() : limb.layers;
  const found = new Map();
  for (const layer of layers) {
    const face = layer[side];
    if (face) face.station.forEach((s, i) => { const key = s.toFixed(6); if (!found.has(key)) found.set(key, { station: scaled(s, "draw"), value: scaled(face[what][i], kind) }); });
  }
  return [...found.values()].sort((a, b) => a.station - b.station);
}

const extremes = (points, kind) => {
  const least = d3.least(points, d => d.value), most = d3.greatest(points, d => d.value);
  return least ? `from ${least.value.toFixed(2)} to ${most.value.toFixed(2)} ${unit(kind).name}` : "not known";
};

/** Strain or stress of belly and back along one limb; several runs lie over each other. runs: {name, limb} */
function outerFaces(title, runs, what, kind) {
  const several = runs.length > 1;
  const curves = () => runs.flatMap((run, i) => ["belly", "back"].map(side => ({ side, run, i, points: outerFace(run.limb, side, what, kind) })));
  const look = curve => several ? { colour: colours[curve.i], dash: curve.side === "back" ? dashes[1] : "" } : { colour: beltColours[curve.side], dash: curve.side === "back" ? dashes[1] : "" };
  const make = width => Plot.plot({
    ...common(width), height: Math.min(440, Math.max(320, width * .5)), marginTop: several ? 26 : endMarkRoom, marginRight: 16, marginBottom: 40,
    x: axis("draw", "distance from center"), y: upright(kind, `${what} along the grain`),
    marks: [Plot.ruleY([0]), ...curves().map(curve => Plot.line(curve.points, { x: "station", y: "value", stroke: look(curve).colour, strokeDasharray: look(curve).dash || null, strokeWidth: 2 })), ...(several ? [] : endMarks(runs[0].limb))],
  });
  const alternative = () => curves().map(curve => `${several ? curve.run.name + ", " : ""}${curve.side} ${extremes(curve.points, kind)}`).join("; ");
  return figure(title, "Tension +, compression −.", { get trade() { return alternative(); }, get metric() { return alternative(); } }, make,
    curves().map(curve => ({ name: `${several ? curve.run.name + ", " : ""}${curve.side}`, ...look(curve) })));
}

/** One strip for each layer, back on top, both faces. */
function eachLayer(title, limb, what, kind) {
  const make = width => {
    const layers = limb.layers.filter(layer => layer.belly || layer.back).reverse();
    const points = layers.flatMap(layer => ["belly", "back"].flatMap(side => (layer[side] ? layer[side].station : []).map((s, i) => ({ layer: layer.name, side, station: scaled(s, "draw"), value: scaled(layer[side][what][i], kind) }))));
    return strips(width, layers.map(layer => layer.name), points, [["belly", beltColours.belly, ""], ["back", beltColours.back, dashes[1]]], limb, unit(kind).name, 84);
  };
  return figure(title, `One strip per layer, back on top, all on one scale. ${limb.marks.length ? "Dotted lines: where layers end." : ""}`,
    "Every number is in along_limb.csv, next to this page.", make, [{ name: "belly face of the layer", colour: beltColours.belly }, { name: "back face of the layer", colour: beltColours.back, dash: dashes[1] }]);
}

/** Strips over the station. sides: [key, colour, dash]; extra marks may be given. */
function strips(width, names, points, sides, limb, unitName, stripHeight, extra = []) {
  return Plot.plot({
    ...common(width), height: names.length * stripHeight + endMarkRoom + 40, marginLeft: 52, marginRight: 10, marginBottom: 40, marginTop: endMarkRoom,
    x: axis("draw", "distance from center"),
    y: { label: `[${unitName}]`, labelArrow: "none", ticks: innerTicks(points.map(d => d.value)), grid: true },
    fy: { domain: names, axis: null, padding: .14 },
    marks: [
      Plot.frame({ stroke: "#d4d4d8" }), Plot.ruleY([0], { stroke: "#55565c" }),
      ...endMarks(limb, names[0]), ...extra,
      ...sides.map(([side, colour, dash]) => Plot.line(points.filter(d => d.side === side), { x: "station", y: "value", fy: "layer", z: "layer", stroke: colour, strokeDasharray: dash || null, strokeWidth: 1.8 })),
      Plot.text(names, { fy: d => d, text: d => d, frameAnchor: "top-right", dx: -4, dy: 4, fontWeight: 600, stroke: "white", strokeWidth: 5, fill: "#1d1d21" }),
    ],
  });
}

/** Change of curvature: where the limb bends. runs: {name, limb} */
function bending(runs) {
  const several = runs.length > 1;
  const points = run => rows(run.limb.sections, { station: "draw", curvature_change: "curvature" });
  const make = width => Plot.plot({
    ...common(width), height: Math.min(360, Math.max(260, width * .4)), marginTop: several ? 26 : endMarkRoom, marginLeft: 52, marginRight: 16, marginBottom: 40,
    x: axis("draw", "distance from center"), y: upright("curvature", "bend added since unstrung"),
    marks: [Plot.ruleY([0]), ...runs.map((run, i) => Plot.line(points(run), { x: "station", y: "curvature_change", stroke: colours[i], strokeWidth: 2, strokeDasharray: several ? dashes[i] || null : null })), ...(several ? [] : endMarks(runs[0].limb))],
  });
  return figure("Where it bends", "Change of curvature (1 over the radius). A peak is a hinge; a dip is a stiff spot.", "A line along the limb.", make,
    several ? runs.map((run, i) => ({ name: run.name, colour: colours[i], dash: dashes[i] })) : []);
}

/** One strip for each glue line. */
function glueStrips(limb) {
  const lines = [...limb.lines].reverse();
  const names = lines.map(line => line.name);
  const patches = () => lines.flatMap(line => line.patches.map(patch => ({ layer: line.name, from: scaled(patch.from, "draw"), to: scaled(patch.to, "draw"), text: patch.holding === 0 ? "open" : `${Math.round(100 * patch.holding)} %` })));
  const outlined = (found = patches()) => {
    return [Plot.rect(found, { x1: "from", x2: "to", fy: "layer", fill: "#e69f00", fillOpacity: .18, stroke: "#8a6d00", strokeWidth: 1.5 }),
      Plot.text(found, { x: d => (d.from + d.to) / 2, fy: "layer", text: "text", frameAnchor: "bottom", dy: -3, fontWeight: 600 })];
  };
  const along = (what, kind) => lines.flatMap(line => line.station.map((s, i) => ({ layer: line.name, side: what, station: scaled(s, "draw"), value: kind ? scaled(line[what][i], kind) : line[what][i] })));
  const stresses = width => strips(width, names, [...along("shear", "glue_stress"), ...along("peel", "glue_stress")], [["shear", colours[0], ""], ["peel", colours[1], dashes[1]]], limb, unit("glue_stress").name, 72, outlined());
  const made = [figure("Glue lines: shear and peel", "One strip per pair of layers that touch, back on top; averaged over a short length, as the glue is judged. Peel + pulls the glue open. Weak spots are outlined.",
    `Shear and peel along the limb, for: ${names.join("; ")}.`, stresses, [{ name: "shear", colour: colours[0] }, { name: "peel", colour: colours[1], dash: dashes[1] }])];
  const damaged = lines.filter(line => line.patches.length || line.parted.some(value => value > 1e-3)).map(line => line.name);
  if (damaged.length) {
    const of = list => list.filter(d => damaged.includes(d.layer));
    made.push(figure("Glue lines: damage", "Fraction of the glue's fracture energy spent; at 1 it is open. Sound lines are left out.", `Damage along the limb, for: ${damaged.join("; ")}.`, width =>
      strips(width, damaged, of(along("parted", null)), [["parted", colours[1], ""]], limb, "fraction", 60, outlined(of(patches())))));
  } else if (lines.some(line => line.may_part))
    made.push(el("p", {}, "No glue is damaged."));
  return made;
}
