"use strict";
/** Runs: {name, curve} each; the first carries the mark of comfort and the inches past full draw. */
function drawCurve(runs) {
  const several = runs.length > 1;
  const kinds = { draw: "draw", force: "force", rise: "rise" };
  const last = runs[0].curve.drawn;
  const end = last.draw.length - 1;
  const alternative = () => runs.map(run => {
    const c = run.curve.drawn, n = c.draw.length - 1;
    return n < 0 ? `${run.name}: not drawn` : `${several ? run.name + ": " : ""}from zero at ${toldNumber(c.draw[0], "draw")} to ${toldNumber(c.force[n], "force")} at ${toldNumber(c.draw[n], "draw")}`;
  }).join("; ");
  const make = width => Plot.plot({
    ...common(width), height: Math.min(420, width * .62), marginRight: 16, marginBottom: 40,
    x: axis("draw", "draw length"), y: upright("force", "weight"),
    marks: [
      Plot.ruleY([0]),
      ...runs.flatMap((run, i) => {
        const drawn = rows(run.curve.drawn, kinds), past = rows(run.curve.past, kinds);
        return [
          Plot.line(drawn, { x: "draw", y: "force", stroke: colours[i], strokeWidth: 2.5, strokeDasharray: several ? dashes[i] : null }),
          past.length ? Plot.line([drawn[drawn.length - 1], ...past], { x: "draw", y: "force", stroke: colours[i], strokeDasharray: "2 4" }) : null,
          Plot.dot(several ? drawn.slice(-1) : drawn, { x: "draw", y: "force", r: several ? 4 : 2.2, fill: colours[i] }),
        ];
      }),
      ...(several || end < 0 ? [] : [
        Plot.text(rows(last, kinds).slice(-1), { x: "draw", y: "force", text: d => `${d.force.toFixed(1)} ${unit("force").name}`, textAnchor: "end", dx: -8, dy: -8, fontWeight: 700 }),
        runs[0].curve.comfortable === null ? null : Plot.ruleX([scaled(runs[0].curve.comfortable, "draw")], { stroke: colours[1], strokeDasharray: "7 4" }),
        runs[0].curve.comfortable === null ? null : Plot.text([scaled(runs[0].curve.comfortable, "draw")], { x: d => d, text: () => "comfortable to here", frameAnchor: "bottom", rotate: -90, textAnchor: "start", dx: -6, dy: -6, fill: "#8f3f00" }),
      ]),
    ],
  });
  return figure("Draw curve", several ? "Dotted: past full draw." : { trade: "Dotted: one and two inches past full draw, to show what overdrawing would pull.", metric: "Dotted: 25 and 51 mm past full draw, to show what overdrawing would pull." },
    { get trade() { return alternative(); }, get metric() { return alternative(); } }, make,
    several ? runs.map((run, i) => ({ name: run.name, colour: colours[i], dash: dashes[i] })) : []);
}

/** The curve in numbers. */
function drawTable(curve) {
  const body = el("tbody");
  const head = el("tr");
  const tell = () => {
    head.replaceChildren(...[["draw", "draw"], ["weight", "force"], ["stacking", "rise"]].map(([name, kind]) => el("th", { scope: "col", class: "number" }, `${name} [${unit(kind).name}]`)));
    body.replaceChildren(...curve.drawn.draw.map((draw, i) => el("tr", {}, [[draw, "draw"], [curve.drawn.force[i], "force"], [curve.drawn.rise[i], "rise"]]
      .map(([value, kind]) => el("td", { class: "number" }, scaled(value, kind).toFixed(unit(kind).decimals))))));
  };
  redraws.push(tell);
  tell();
  return el("details", {}, el("summary", {}, "The curve in numbers"), el("div", { class: "scroll" }, el("table", {}, el("thead", {}, head), body)));
}
