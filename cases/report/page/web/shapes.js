"use strict";
const stageLooks = {
  "unstrung": { colour: "#55565c", fill: "#c9c9ce" },
  "braced": { colour: colours[2], fill: "#a8d5c8" },
  "full draw": { colour: colours[0], fill: "#a6cde6" },
  "last draw reached": { colour: colours[0], fill: "#a6cde6" },
  "unstrung again, after the draws": { colour: colours[1], fill: "none" },
};

/** Views {name, shape, look} laid over each other in true scale: the bow on its side, the target above, the upper tip to the right. */
function sideView(title, note, views) {
  const all = views.flatMap(view => [view.shape.back, view.shape.belly, view.shape.string]);
  const make = width => {
    const small = width < 520;
    const margin = { left: 44, right: 10, top: 18, bottom: 42 };
    const along = d3.extent(all.flatMap(part => part.y)).map(v => scaled(v, "draw"));
    const out = d3.extent(all.flatMap(part => part.x)).map(v => scaled(v, "draw"));
    const pad = .02 * (along[1] - along[0]);
    const x = [along[0] - pad, along[1] + pad], y = [out[0] - pad, out[1] + pad];
    const height = (width - margin.left - margin.right) * (y[1] - y[0]) / (x[1] - x[0]) + margin.top + margin.bottom;
    // The ruler: every inch, named every sixth or twelfth; in metric every 20 or 50 mm, named every 200 or 400.
    const fine = system === "trade" ? 1 : small ? 50 : 20, named = system === "trade" ? (small ? 12 : 6) : (small ? 400 : 200);
    const ticks = (domain, step) => d3.range(Math.ceil(domain[0] / step) * step, domain[1] + 1e-9, step);
    const marks = [
      Plot.gridX({ ticks: ticks(x, named) }), Plot.gridY({ ticks: ticks(y, named) }),
      Plot.axisX({ ticks: ticks(x, fine), tickSize: 4, tickFormat: () => "", label: null }),
      Plot.axisX({ ticks: ticks(x, named), tickSize: 9, label: `from center, along the bow [${unit("draw").name}]`, labelArrow: "none", labelAnchor: "center" }),
      Plot.axisY({ ticks: ticks(y, fine), tickSize: 4, tickFormat: () => "", label: null }),
      Plot.axisY({ ticks: ticks(y, named), tickSize: 9, label: `toward the target [${unit("draw").name}]`, labelArrow: "none" }),
    ];
    for (const { shape, look } of views) {
      const at = part => part.x.map((_, i) => [scaled(part.y[i], "draw"), scaled(part.x[i], "draw")]);
      const outline = [...at(shape.back), ...at(shape.belly).reverse()];
      marks.push(Plot.line([...outline, outline[0]], { stroke: look.colour, fill: look.fill, strokeWidth: 1, strokeDasharray: look.dash }));
      marks.push(Plot.line(at(shape.string), { stroke: look.colour, strokeWidth: .8 }));
    }
    return Plot.plot({ ...common(width), height, marginLeft: margin.left, marginRight: margin.right, marginTop: margin.top, marginBottom: margin.bottom, x: { domain: x, label: null }, y: { domain: y, label: null }, marks });
  };
  return figure(title, note, `Side view of the bow's outline, true scale: ${views.map(view => view.name).join(", ")}`, make,
    views.map(view => ({ name: view.name, colour: view.look.colour, dash: view.look.dash })));
}
