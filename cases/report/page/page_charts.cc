#include "cases/report/page/page_parts.h"

#include "cases/report/split_words.h"
#include "cases/report/trade_figures.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "meshing/shape/limb_shape.h"

#include <algorithm>
#include <map>

namespace limbwright
{
namespace
{
/// Columns of numbers, one row at a time.
void add_row(PageJson &columns, std::initializer_list<std::pair<const char *, double>> row)
{
  for (const auto &[name, value] : row)
    columns[name].push_back(value);
}

PageJson layers_of(const LimbSnapshot &limb, const LimbDescription &described)
{
  PageJson layers = PageJson::array();
  for (std::size_t i = 0; i < described.laminations.size(); ++i)
  {
    const auto &lamination = described.laminations[i];
    PageJson layer = {{"name", lamination.name}, {"material", lamination.material}};
    for (const auto &face : limb.faces)
      if (face.lamination == static_cast<int>(i) && face.face != Face::inside)
        add_row(layer[face.face == Face::belly ? "belly" : "back"],
                {{"station", face.station}, {"strain", face.strain_along}, {"stress", face.stress_along}});
    layers.push_back(std::move(layer));
  }
  return layers;
}

/// Glue lines as pairs of layers that meet; where layers in between are absent the pair is another one.
PageJson lines_of(const LimbSnapshot &limb, const LimbDescription &described)
{
  std::map<std::pair<int, int>, PageJson> lines;
  for (const auto &glue : limb.glue)
  {
    const int back = glue.back_lamination < 0 ? glue.line + 1 : glue.back_lamination;
    PageJson &line = lines[{glue.line, back}];
    if (line.is_null())
    {
      line["name"] = described.laminations[static_cast<std::size_t>(glue.line)].name + " | " +
                     described.laminations[static_cast<std::size_t>(back)].name;
      line["patches"] = PageJson::array();
      const auto &description = described.glue[static_cast<std::size_t>(glue.line)];
      line["may_part"] = description.cohesive;
      for (const auto &patch : description.patches)
        line["patches"].push_back({{"from", patch.from}, {"to", patch.to}, {"holding", patch.holding()}});
    }
    add_row(line, {{"station", glue.station}, {"shear", glue.mean_shear}, {"peel", glue.mean_peel}, {"parted", glue.parted}});
  }
  PageJson list = PageJson::array();
  for (auto &[pair, line] : lines)
    list.push_back(std::move(line));
  return list;
}

PageJson marks_of(const LimbDescription &described)
{
  PageJson marks = PageJson::array();
  const LimbShape shape(described);
  for (const auto &end : shape.lamination_ends())
    marks.push_back({{"station", end.station},
                     {"text", described.laminations[end.lamination].name + (end.toward_tip ? " ends" : " begins")}});
  return marks;
}
} // namespace

PageJson draw_curve_part(const StoredRun &run)
{
  const double offset = convention_offset(run.bow_case);
  const auto series = [&](const std::vector<DrawPoint> &points)
  {
    PageJson columns = {{"draw", PageJson::array()}, {"force", PageJson::array()}, {"rise", PageJson::array()}};
    for (const auto &point : points)
      add_row(columns, {{"draw", point.draw + offset}, {"force", point.force}, {"rise", point.stiffness}});
    return columns;
  };
  PageJson json = {{"drawn", series(run.results.draw_curve)}, {"past", series(run.results.overdraw)}};
  const auto comfortable = comfortable_draw(run.bow_case, run.results);
  json["comfortable"] = comfortable && !comfortable->never_comfortable && !comfortable->to_the_end
                            ? PageJson(comfortable->draw + offset)
                            : PageJson();
  return json;
}

PageJson limbs_part(const StoredRun &run)
{
  PageJson limbs = PageJson::array();
  if (run.results.snapshots.empty())
    return limbs;
  for (const auto &limb : run.results.snapshots.back().limbs)
  {
    const auto &described = limb_of(run.bow_case, limb.limb);
    PageJson json = {
        {"name", limb_words(limb.limb, run.results.symmetric)}, {"root", described.root_station}, {"tip", described.tip_station}};
    json["layers"] = layers_of(limb, described);
    json["lines"] = lines_of(limb, described);
    json["marks"] = marks_of(described);
    for (const auto &section : limb.sections)
      add_row(json["sections"], {{"station", section.station},
                                 {"curvature_change", section.curvature_change},
                                 {"yielded", section.yielded_share},
                                 {"width", section.width},
                                 {"stack", section.stack}});
    limbs.push_back(std::move(json));
  }
  return limbs;
}

PageJson index_part(const StoredRun &run, std::size_t n_places)
{
  PageJson curves = PageJson::array();
  const auto ranked = verdict_of(run.bow_case, run.results).worst;
  const double offset = convention_offset(run.bow_case);
  for (std::size_t i = 0; i < std::min(n_places, ranked.size()); ++i)
  {
    PageJson curve = {{"rank", i + 1},
                      {"name", (run.results.symmetric ? "" : limb_words(ranked[i].limb, false) + ", ") +
                                   layer_name(run.bow_case, ranked[i]) + ": " + failure_words(run.bow_case, ranked[i])},
                      {"draw", PageJson::array()},
                      {"index", PageJson::array()}};
    for (const auto &snapshot : run.results.snapshots)
    {
      if (snapshot.stage == "unstrung")
        continue;
      double index = 0.;
      for (const auto &spot : snapshot.worst)
        if (same_place(spot, ranked[i]))
          index = std::max(index, spot.index);
      add_row(curve, {{"draw", snapshot.point.draw + offset}, {"index", index}});
    }
    curves.push_back(std::move(curve));
  }
  return curves;
}
} // namespace limbwright
