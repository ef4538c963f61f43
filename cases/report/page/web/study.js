"use strict";
// The page of a study: the same bow with one thing or another changed, a row for each.

function studyTable(study) {
  const table = el("table");
  const tell = () => {
    const head = el("tr", {}, el("th", { scope: "col" }, study.varied), study.columns.map(column => el("th", { scope: "col", class: "number" }, column.name + (unit(column.kind).name ? ` [${unit(column.kind).name}]` : ""))));
    const body = study.rows.map((row, i) => el("tr", {}, el("th", { scope: "row" }, row), study.failures[i] ? el("td", { colspan: String(study.columns.length) }, study.failures[i])
      : study.columns.map(column => el("td", { class: "number" }, column.values[i] === null ? "not known" : scaled(column.values[i], column.kind).toFixed(unit(column.kind).decimals)))));
    table.replaceChildren(el("thead", {}, head), el("tbody", {}, ...body));
  };
  redraws.push(tell);
  tell();
  return el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Numbers of every bow" }, table);
}

/** The columns of one group over the bows, in their order. */
function studyChart(study, group) {
  const columns = study.columns.filter(column => column.group === group && column.values.some(value => value !== null));
  if (!columns.length) return [];
  const kind = columns[0].kind, name = columns.length > 1 ? group : columns[0].name;
  const entries = columns.map((column, k) => ({ name: column.name, column, colour: colours[k], dash: dashes[k] }));
  const points = entry => study.rows.map((row, i) => ({ row, value: scaled(entry.column.values[i], entry.column.kind) })).filter(point => Number.isFinite(point.value));
  // No finer than what is told: what does not change is a level line.
  const told = values => {
    const [low, high] = d3.extent(values), least = 5 * 10 ** -unit(kind).decimals, more = Math.max(0, least - (high - low)) / 2;
    return [low - more, high + more];
  };
  const make = width => Plot.plot({
    ...common(width), height: 230, marginRight: 24, marginBottom: 44,
    x: { type: "point", domain: study.rows, label: study.varied, labelArrow: "none", labelAnchor: "center", tickRotate: study.rows.join("").length * 7 > width ? -30 : 0, ...(study.rows.join("").length * 7 > width ? { label: null } : {}) },
    y: { ...(unit(kind).name ? upright(kind, name) : { label: name, labelArrow: "none", grid: true }), domain: told(entries.flatMap(points).map(point => point.value)) },
    marks: entries.flatMap(entry => [Plot.line(points(entry), { x: "row", y: "value", stroke: entry.colour, strokeDasharray: entry.dash || null, strokeWidth: 2 }), Plot.dot(points(entry), { x: "row", y: "value", fill: entry.colour, r: 3.5 })]),
  });
  const alternative = entries.map(entry => `${entry.name}: ${points(entry).map(point => `${point.row} ${point.value.toFixed(unit(entry.column.kind).decimals)}`).join(", ")}`).join("; ");
  return [figure(name, "", alternative, make, entries.length > 1 ? entries : [])];
}

function studyPage() {
  const page = document.getElementById("page");
  const study = { ...data.study, columns: data.study.columns.filter(column => column.values.some(value => value !== null)) };
  page.append(el("h1", {}, study.title), el("p", { class: "soft" }, `By ${data.program}. ${study.about}`), unitSwitch(), heading("Numbers"), studyTable(study),
    el("p", { class: "soft" }, "100 % of strength = failure. These are estimates for a maker's judgment."), heading("Side by side"));
  for (const group of new Set(study.columns.map(column => column.group).filter(Boolean))) page.append(...studyChart(study, group));
}
