"use strict";
const layerFills = ["#dfe7ee", "#f0e2cf", "#dcebe1", "#eadfea", "#f1ecd2", "#e3e3e6"];

/** Names of layers right of a drawing, pushed apart, with lines to their layers. entries: {name, at} in pixels from the top. */
function labelMarks(svg, entries, left, right, least = 14) {
  const sorted = [...entries].sort((a, b) => a.at - b.at);
  const places = spread(sorted.map(entry => entry.at), least);
  const group = d3.select(svg).append("g").attr("font-size", 12).attr("text-anchor", "start");
  sorted.forEach((entry, i) => {
    group.append("polyline").attr("points", `${left},${entry.at} ${right - 6},${places[i]}`).attr("fill", "none").attr("stroke", "#55565c").attr("stroke-width", .7);
    group.append("text").attr("x", right - 3).attr("y", places[i]).attr("dy", ".32em").attr("fill", "#1d1d21").text(entry.name);
  });
  return places.length ? places[places.length - 1] : 0;
}

/** A plot whose x and y have one scale, layers as polygons, their names on the right. */
function layerDrawing(width, layers, xDomain, yDomain, options) {
  const margin = { left: 46, right: Math.min(150, width * .36), top: 26, bottom: 40 };
  const inner = Math.min(width - margin.left - margin.right, options.largest || Infinity);
  const tall = inner * (yDomain[1] - yDomain[0]) / (xDomain[1] - xDomain[0]) * (options.stretch || 1);
  const height = Math.max(tall, 14 * layers.length) + margin.top + margin.bottom;
  const bottom = height - margin.top - tall;
  const svg = Plot.plot({
    ...common(margin.left + inner + margin.right), height, marginLeft: margin.left, marginRight: margin.right, marginTop: margin.top, marginBottom: bottom,
    x: { ...axis(options.xKind, options.xLabel), labelOffset: 34, ticks: 5, domain: xDomain }, y: { label: `${options.yLabel} [${unit("thickness").name}]`, labelArrow: "none", domain: [yDomain[1], yDomain[0]], ticks: 4 },
    marks: [...layers.map((layer, i) => Plot.line([...layer.points, layer.points[0]], { fill: layerFills[i % layerFills.length], stroke: "#55565c", strokeWidth: .6 })), ...(options.marks || [])],
  });
  const pixel = depth => margin.top + tall * (depth - yDomain[0]) / (yDomain[1] - yDomain[0]);
  labelMarks(svg, layers.map(layer => ({ name: layer.name, at: pixel(layer.middle) })), margin.left + inner, margin.left + inner + 14);
  return svg;
}

/** The section at the worst station: the cut, and the strain through its depth. */
function sectionCut(section) {
  const where = () => `${section.limb}, ${toldNumber(section.station, "draw")} from center; ${toldNumber(section.width, "thickness")} wide, ${toldNumber(section.stack, "thickness")} thick`;
  const both = { get trade() { return where(); }, get metric() { return where(); } };
  const cut = width => {
    const layers = section.layers.map(layer => ({
      name: `${layer.name}, ${scaled(layer.thickness, "thickness").toFixed(unit("thickness").decimals)}`,
      middle: d3.mean(d3.extent(layer.outline.depth)) / unit("thickness").size,
      points: layer.outline.across.map((a, i) => [scaled(a, "thickness"), scaled(layer.outline.depth[i], "thickness")]),
    }));
    const x = d3.extent(layers.flatMap(layer => layer.points.map(p => p[0]))), y = d3.extent(layers.flatMap(layer => layer.points.map(p => p[1])));
    return layerDrawing(width, layers, x, y, { xKind: "thickness", xLabel: "across the limb", yLabel: "depth from the back", largest: 420 });
  };
  const through = width => {
    const points = section.layers.flatMap(layer => ["back_face", "belly_face"].filter(face => layer[face]).map(face => ({ layer: layer.name, depth: scaled(layer[face].depth, "thickness"), strain: scaled(layer[face].strain, "strain") })));
    return Plot.plot({
      ...common(Math.min(width, 460)), height: 240, marginLeft: 46, marginBottom: 40, marginTop: 26,
      x: { ...axis("strain", "strain along the grain"), grid: true }, y: { reverse: true, label: `depth from the back [${unit("thickness").name}]`, labelArrow: "none" },
      marks: [Plot.ruleX([0]), Plot.line(points, { x: "strain", y: "depth", z: "layer", stroke: colours[0], strokeWidth: 2.2 }), Plot.dot(points, { x: "strain", y: "depth", r: 2.5, fill: colours[0] })],
    });
  };
  const note = section.follow_crown ? "Layers are drawn flat; in the calculation they follow the crown of the back. Thicknesses are next to the names." : "Back on top, true scale. Thicknesses are next to the names.";
  return el("div", {}, toldEl("p", {}, both), el("div", { class: "cuts" },
    figure("Cut through the limb", note, `Layers from the back: ${[...section.layers].reverse().map(layer => layer.name).join(", ")}`, cut),
    figure("Strain through the thickness", "Tension to the right, compression to the left.", "A line from the back to the belly, one piece per layer.", through)));
}

/** Close picture of a hot spot: the layers about it, the limb laid straight. */
function closeUp(spot) {
  const close = spot.close_up;
  // A thin limb's depth is drawn larger than its length, a whole number of times.
  const depth = d3.max(close.layers, layer => d3.max(layer.belly)) - d3.min(close.layers, layer => d3.min(layer.back));
  const stretch = Math.max(1, Math.min(3, Math.floor(.5 * (close.to - close.from) / depth)));
  const make = width => {
    const layers = close.layers.map(layer => ({
      name: layer.name,
      middle: scaled((layer.back[layer.back.length - 1] + layer.belly[layer.belly.length - 1]) / 2, "thickness"),
      points: [...layer.station.map((s, i) => [scaled(s, "draw"), scaled(layer.back[i], "thickness")]), ...layer.station.map((s, i) => [scaled(s, "draw"), scaled(layer.belly[i], "thickness")]).reverse()],
    }));
    const y = d3.extent(layers.flatMap(layer => layer.points.map(p => p[1])));
    const here = [{ x: scaled(close.station, "draw"), y: scaled(close.depth, "thickness") }];
    return layerDrawing(width, layers, [scaled(close.from, "draw"), scaled(close.to, "draw")], y, {
      xKind: "draw", xLabel: "from center", yLabel: "depth from the back", largest: 420, stretch,
      marks: [Plot.dot(here, { x: "x", y: "y", r: 8, stroke: "#b3261e", strokeWidth: 2.5 }), Plot.text(here, { x: "x", y: "y", text: () => "here", dy: -16, fontWeight: 700, fill: "#b3261e", stroke: "white", strokeWidth: 4 })],
    });
  };
  return figure("Close up", `The limb laid straight, back on top, ${stretch === 1 ? "true scale" : `depth drawn ${stretch} times larger than length`}.`, `Layers: ${close.layers.map(layer => layer.name).join(", ")}; the spot is ringed.`, make);
}

/** How much of its strength each of the worst places uses, over the draw. */
function indexCurves(curves, comfortable) {
  const make = width => Plot.plot({
    ...common(width), height: Math.min(380, Math.max(260, width * .5)), marginTop: 36, marginRight: 30, marginBottom: 40,
    x: axis("draw", "draw length"), y: { label: "strength used [%]", labelArrow: "none", grid: true, zero: true },
    marks: [
      Plot.ruleY([100], { stroke: "#b3261e", strokeWidth: 2 }), Plot.text([100], { y: d => d, text: () => "fails by these numbers", frameAnchor: "left", textAnchor: "start", dx: 4, dy: -8, fill: "#b3261e" }),
      Plot.ruleY([100 * comfortable], { stroke: "#8a6d00", strokeDasharray: "7 4" }), Plot.text([100 * comfortable], { y: d => d, text: () => "comfortable below", frameAnchor: "left", textAnchor: "start", dx: 4, dy: 9, fill: "#6b5500" }),
      ...curves.flatMap((curve, i) => {
        const points = rows(curve, { draw: "draw", index: null }).map(point => ({ ...point, used: 100 * point.index }));
        return [Plot.line(points, { x: "draw", y: "used", stroke: colours[i], strokeDasharray: dashes[i] || null, strokeWidth: 2 }),
          Plot.text(points.slice(-1), { x: "draw", y: "used", text: () => String(curve.rank), dx: 10, fontWeight: 700 })];
      }),
    ],
  });
  return figure("Strength used over the draw", "% of strength used at each of the worst places, numbered as in their list.", curves.map(curve => `${curve.rank}. ${curve.name}: ${curve.index.length ? `${(100 * curve.index[curve.index.length - 1]).toFixed(0)} %` : "not known"} at the end`).join("; "), make,
    curves.map((curve, i) => ({ name: `${curve.rank}. ${curve.name}`, colour: colours[i], dash: dashes[i] })));
}
