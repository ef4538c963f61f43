#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "cases/study/margin_map.h"
#include "meshing/shape/flaws.h"
#include "meshing/shape/glue_stretches.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
std::string layer_of(const Case &bow_case, const InchMargin &margin)
{
  HotSpot spot;
  spot.limb = margin.limb;
  spot.lamination = margin.lamination;
  spot.glue_line = margin.glue_line;
  spot.back_lamination = margin.back_lamination;
  return layer_name(bow_case, spot);
}

/// "1 in 12"; no slope of sense is too much: "any".
std::string slope_words(double angle)
{
  if (std::isnan(angle))
    return "any";
  return angle < 0.002 ? std::string("none") : fmt::format("1 in {:.0f}", 1. / std::tan(angle));
}

std::string knot_words(const InchMargin &margin)
{
  if (std::isnan(margin.knot_share))
    return "any";
  return margin.knot_share < 0.005 ? std::string("none")
                                   : fmt::format("{:.2f} in ({:.0f} %)", margin.knot / inch, 100. * margin.knot_share);
}

std::string patch_told(const InchMargin &margin)
{
  if (std::isnan(margin.patch))
    return "any";
  return fmt::format("{:.2f} in {}", margin.patch / inch, margin.lifts ? "(peel)" : "(shear)");
}

/// Of one layer the inch where least is allowed; null where nothing is limited.
template <class Value>
const InchMargin *tightest(const std::vector<const InchMargin *> &layer, Value value)
{
  const InchMargin *least = nullptr;
  for (const InchMargin *margin : layer)
    if (!std::isnan(value(*margin)) && (least == nullptr || value(*margin) < value(*least)))
      least = margin;
  return least;
}

std::string where_words(const InchMargin *margin)
{
  return margin == nullptr ? std::string("-") : fmt::format("{:.0f} in", margin->station / inch);
}

/// Laminations in the order of the map, every one with its inches.
std::vector<std::vector<const InchMargin *>> by_lamination(const MarginMap &map, LimbName limb)
{
  std::vector<std::vector<const InchMargin *>> layers;
  for (const InchMargin &margin : map.inches)
  {
    if (margin.limb != limb || margin.lamination < 0)
      continue;
    if (layers.empty() || layers.back().front()->lamination != margin.lamination)
      layers.emplace_back();
    layers.back().push_back(&margin);
  }
  return layers;
}

/// The inches of a stretch of glue line; none where all of it lies near ends.
std::vector<const InchMargin *> of_stretch(const MarginMap &map, LimbName limb, const GlueStretch &stretch)
{
  std::vector<const InchMargin *> inches;
  for (const InchMargin &margin : map.inches)
    if (margin.limb == limb && margin.glue_line == static_cast<int>(stretch.line) &&
        margin.back_lamination == static_cast<int>(stretch.back) && margin.station >= stretch.from - 0.5 * inch &&
        margin.station <= stretch.to + 0.5 * inch)
      inches.push_back(&margin);
  return inches;
}

bool of_wood(const Case &bow_case, const InchMargin &margin)
{
  const MaterialKind kind =
      bow_case.bow.materials.at(limb_of(bow_case, margin.limb).laminations[static_cast<std::size_t>(margin.lamination)].material)
          .kind;
  return kind == MaterialKind::wood || kind == MaterialKind::bamboo;
}

std::string limb_table(const Case &bow_case, const MarginMap &map, LimbName limb)
{
  std::string text =
      fmt::format("  {:<30}{:>9}  {:>11} {:>6}   {:>16} {:>6}\n", "Wood", "worst now", "run-out", "at", "knot", "at");
  for (const auto &layer : by_lamination(map, limb))
    if (of_wood(bow_case, *layer.front()))
    {
      const InchMargin *slope = tightest(layer, [](const InchMargin &m) { return m.run_out; });
      const InchMargin *knot = tightest(layer, [](const InchMargin &m) { return m.knot_share; });
      const auto worst = std::max_element(layer.begin(), layer.end(),
                                          [](const InchMargin *a, const InchMargin *b) { return a->index < b->index; });
      text += fmt::format("  {:<30}{:>9}  {:>11} {:>6}   {:>16} {:>6}\n", layer_of(bow_case, *layer.front()),
                          strength_used((*worst)->index), slope == nullptr ? "any" : slope_words(slope->run_out),
                          where_words(slope), knot == nullptr ? "any" : knot_words(*knot), where_words(knot));
    }
  text += fmt::format("\n  {:<26}{:>14}{:>11}  {:>11} {:>6}   {:>16} {:>6}\n", "Glue between", "in from center", "worst now",
                      "bond needed", "at", "open patch", "at");
  const LimbDescription &described = limb_of(bow_case, limb);
  for (const GlueStretch &stretch : glue_stretches(LimbShape(described)))
  {
    if (described.glue[stretch.line].of_split)
      continue;
    InchMargin names;
    names.limb = limb;
    names.glue_line = static_cast<int>(stretch.line);
    names.back_lamination = static_cast<int>(stretch.back);
    std::string name = layer_of(bow_case, names);
    if (name.size() > 26)
      name = name.substr(0, 23) + "...";
    text += fmt::format("  {:<26}{:>14}", name, fmt::format("{:.1f} to {:.1f}", stretch.from / inch, stretch.to / inch));
    const auto layer = of_stretch(map, limb, stretch);
    if (layer.empty())
    {
      text += "   all of it is near a layer's end, the handle or the nock\n";
      continue;
    }
    const InchMargin *bond = tightest(layer, [](const InchMargin &m) { return -m.bond; });
    const InchMargin *patch = tightest(layer, [](const InchMargin &m) { return m.patch; });
    const auto worst = std::max_element(layer.begin(), layer.end(),
                                        [](const InchMargin *a, const InchMargin *b) { return a->index < b->index; });
    text += fmt::format("{:>11}  {:>11} {:>6}   {:>16} {:>6}\n", strength_used((*worst)->index),
                        bond == nullptr ? "-" : fmt::format("{:.0f} %", 100. * bond->bond), where_words(bond),
                        patch == nullptr ? "any" : patch_told(*patch), where_words(patch));
  }
  return text;
}
} // namespace

Table margin_table(const Case &bow_case, const MarginMap &map)
{
  Table table;
  const auto &rows = map.inches;
  table.columns.push_back(word_column("limb", rows, [](const InchMargin &m) { return limb_key(m.limb); }));
  table.columns.push_back(number_column(
      "station", "in", rows, [](const InchMargin &m) { return m.station; }, inch));
  table.columns.push_back(
      word_column("kind", rows, [](const InchMargin &m) { return std::string(m.lamination >= 0 ? "lamination" : "glue"); }));
  table.columns.push_back(word_column("layer", rows, [&](const InchMargin &m) { return layer_of(bow_case, m); }));
  table.columns.push_back(number_column("index", "", rows, [](const InchMargin &m) { return m.index; }));
  table.columns.push_back(number_column(
      "run_out", "deg", rows, [](const InchMargin &m) { return m.run_out; }, degree));
  table.columns.push_back(number_column(
      "knot", "in", rows, [](const InchMargin &m) { return m.knot; }, inch));
  table.columns.push_back(number_column(
      "knot_share_of_width", "%", rows, [](const InchMargin &m) { return m.knot_share; }, percent));
  table.columns.push_back(number_column(
      "hole", "in", rows, [](const InchMargin &m) { return m.hole; }, inch));
  table.columns.push_back(number_column(
      "hole_share_of_width", "%", rows, [](const InchMargin &m) { return m.hole_share; }, percent));
  table.columns.push_back(number_column(
      "open_patch", "in", rows, [](const InchMargin &m) { return m.patch; }, inch));
  table.columns.push_back(word_column("patch_limited_by", rows,
                                      [](const InchMargin &m) {
                                        return std::string(std::isnan(m.patch) ? "" : m.lifts ? "lifting" : "sliding");
                                      }));
  table.columns.push_back(number_column(
      "least_bond", "%", rows, [](const InchMargin &m) { return m.bond; }, percent));
  return table;
}

std::string margin_words(const Case &bow_case, const MarginMap &map)
{
  std::string text = (bow_case.title.empty() ? bow_case.name : bow_case.title) + "\n\n";
  if (!map.complete)
    return text + "  " + wrapped("The bow cannot be drawn: " + map.reason + ".", 2) + "\n";
  text += "  " +
          wrapped(fmt::format("The largest single fault that keeps every layer within {:.0f} % of its strength at {}, at the "
                              "spot that can take the least. 'At' is in from center.",
                              map.level / percent, draw_told(bow_case, bow_case.bow.full_draw)),
                  2) +
          "\n\n";
  if (!bow_case.bow.lower)
    text += limb_table(bow_case, map, LimbName::upper);
  else
    text += "  UPPER LIMB\n" + limb_table(bow_case, map, LimbName::upper) + "\n  LOWER LIMB\n" +
            limb_table(bow_case, map, LimbName::lower);
  return text + "\n  " +
         wrapped("These limits come from the sound bow and are on the safe side. Run-out is over the whole width, on top of what "
                 "the bow file describes. A knot goes through the lamination, counts as a hole, and the grain flows around it. "
                 "Where that grain would break however small the knot, the limit is 'none'. (For a hole through straight grain, "
                 "bored or a worm's, see the table of every inch.) An open patch goes over the whole width, its faces 0.005 in "
                 "apart in the middle. Draw the bow with the fault in it before you give a piece up. Handle, nock and lamination "
                 "ends are left out." +
                     std::string(flawed(bow_case.bow.upper) || (bow_case.bow.lower && flawed(*bow_case.bow.lower))
                                     ? " So are the flaws in the bow file: 'limbwright draw' shows what they do."
                                     : ""),
                 2) +
         "\n";
}
} // namespace limbwright
