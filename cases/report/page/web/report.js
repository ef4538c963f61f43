"use strict";
// The page of one run, from the top down.
function heading(text) {
  return el("h2", {}, text);
}

function figuresList() {
  return el("dl", { class: "figures" }, data.figures.map(entry => el("div", {}, el("dt", {}, entry.name), toldEl("dd", {}, entry.value))));
}

function spotCard(spot) {
  const pair = (name, text) => [el("dt", {}, name), toldEl("dd", {}, text)];
  const card = el("section", { class: "spot" }, el("h3", {}, `${spot.rank}. `, toldEl("span", {}, spot.place)));
  card.append(el("dl", {}, pair(`At ${spot.used} of its strength`, spot.load), pair("When", spot.when), pair("Look for", spot.look), pair("What usually helps", spot.helps),
    spot.cautions.length ? [el("dt", {}, "Note"), el("dd", {}, spot.cautions.join("; "))] : []));
  card.append(closeUp(spot));
  return card;
}

function materialTables() {
  return data.materials.map(material => el("details", { open: "" }, el("summary", {}, `${material.title} (${material.name})`),
    el("div", { class: "scroll" }, el("table", {}, el("thead", {}, el("tr", {}, ["property", "value", "source"].map(text => el("th", { scope: "col" }, text)))),
      el("tbody", {}, material.values.map(row => el("tr", {}, el("td", {}, row.name), toldEl("td", { class: "number" }, row.value),
        el("td", {}, el("span", { class: row.sure ? "" : "estimate" }, row.provenance), row.source ? `: ${row.source}` : ""))))))));
}

function report() {
  const page = document.getElementById("page");
  page.append(el("h1", {}, data.title), toldEl("p", { class: "soft" }, `Stress analysis of this bow by ${data.program}. Draw length is measured ${data.convention}.`));
  if (data.about) page.append(el("p", {}, data.about));
  page.append(unitSwitch());
  page.append(el("div", { class: `verdict level-${data.verdict.level}` }, el("span", { class: "word" }, data.verdict.words.charAt(0).toUpperCase() + data.verdict.words.slice(1)), toldEl("p", {}, data.verdict.text)));
  page.append(figuresList(), el("p", { class: "caution" }, data.caution));
  page.append(heading("Twelve questions"), el("ol", { class: "questions" }, data.questions.map(entry => el("li", {}, el("h3", {}, entry.question), toldEl("p", {}, entry.answer)))));
  for (const picture of data.pictures)
    page.append(el("figure", {}, el("figcaption", {}, picture.title), el("img", { src: picture.source, alt: picture.alt })));
  if (data.curve.drawn.draw.length) page.append(heading("Draw curve"), drawCurve([{ name: data.title, curve: data.curve }]), drawTable(data.curve));
  if (data.shapes.length)
    page.append(heading("Side view"), sideView("The bow from the side", "True scale, target side up, upper tip to the right. Compare it with a photo on the tillering tree.",
      data.shapes.map(shape => ({ name: shape.name, shape, look: { ...stageLooks[shape.name], dash: shape.name.startsWith("unstrung again") ? "4 3" : null } }))));
  for (const limb of data.limbs) {
    const named = text => (data.symmetric ? text : `${text}: ${limb.name}`);
    page.append(heading(named("Along the limb, at the last draw")), bending([{ name: limb.name, limb }]),
      outerFaces("Strain on belly and back", [{ name: limb.name, limb }], "strain", "strain"), outerFaces("Stress on belly and back", [{ name: limb.name, limb }], "stress", "stress"),
      eachLayer("Strain in each layer", limb, "strain", "strain"), eachLayer("Stress in each layer", limb, "stress", "stress"));
    if (limb.lines.length) page.append(heading(named("Glue")), ...glueStrips(limb));
  }
  if (data.section) page.append(heading("Cross section at the worst place"), sectionCut(data.section));
  if (data.index.length) page.append(heading("How close to failure"), indexCurves(data.index, data.comfortable_index));
  if (data.events.length)
    page.append(heading("On the way to full draw"), el("div", { class: "scroll" }, el("table", {}, el("thead", {}, el("tr", {}, el("th", { scope: "col" }, "draw"), el("th", { scope: "col" }, "what happened"))),
      el("tbody", {}, data.events.map(event => el("tr", {}, toldEl("td", { class: "number" }, event.when), toldEl("td", {}, event.what)))))));
  if (data.spots.length) page.append(heading("Worst places"), el("p", {}, "100 % of strength = failure. What to look for and what helps is common practice, no source."), ...data.spots.map(spotCard));
  page.append(heading("What was assumed"), el("ul", {}, data.assumptions.map(text => el("li", {}, text))), heading("Materials"), ...materialTables());
  page.append(el("p", { class: "soft" }, `${data.program}; ${data.run.cells} cells, ${data.run.unknowns} unknowns. Bow file ${data.name}.`));
}
