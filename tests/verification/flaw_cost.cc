#include "cases/report/flaw_words.h"
#include "cases/report/trade_figures.h"
#include "cases/report/verdict.h"
#include "cases/run/run_beside.h"
#include "meshing/shape/limb_shape.h"
#include "support/cases.h"
#include "support/check_table.h"

#include <cmath>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
Case example(const std::string &name)
{
  return read(std::filesystem::path(LIMBWRIGHT_EXAMPLES) / name / (name + ".toml"));
}

DrawResults drawn_beside(const Case &bow)
{
  DrawResults results = run_draw_beside(bow, {}, {}, nullptr);
  INFO(bow.name << ": " << results.failed_stage << ": " << results.reason);
  REQUIRE(results.complete);
  REQUIRE(results.flaw_costs.size() == 1);
  REQUIRE(results.flaw_costs[0].complete);
  return results;
}

// Bending stiffness of the limb's section where plane sections stay plane [N m2], the knot's chord taken from its lamination.
double bending_stiffness(const LimbShape &shape, const std::map<std::string, Material> &materials, double station,
                         const Knot *knot)
{
  double EA = 0., ES = 0., EI = 0.;
  for (std::size_t i = 0; i < shape.n_laminations(); ++i)
  {
    if (!shape.present(i, station))
      continue;
    const double back = shape.back_face_depth(i, station), t = shape.thickness(i, station), z = back + 0.5 * t;
    double width = shape.width(station, z);
    if (knot != nullptr && knot->lamination == i)
      if (const double x = (station - knot->station) / knot->half_along(); std::abs(x) < 1.)
        width -= knot->diameter * std::sqrt(1. - x * x);
    const double E = materials.at(shape.description().laminations[i].material).constants.E_L * width * t;
    EA += E;
    ES += E * z;
    EI += E * (z * z + t * t / 12.);
  }
  return EI - ES * ES / EA;
}
} // namespace

TEST_CASE("A knot in a core strip under glass costs next to nothing, and is told so", "[verification]")
{
  Case bow = example("maple-glass-knot");
  bow.solve.wood_yields = false; // a beam's section is elastic
  bow.solve.cycles = 0;
  Knot &knot = bow.bow.upper.weak.knots.at(0);
  knot.grain_flows = false; // it loses section, no more
  const DrawResults results = drawn_beside(bow);
  const FlawCost &cost = results.flaw_costs[0];
  const FlawDifference &found = cost.flaws.at(0);
  const LimbShape shape(bow.bow.upper);
  const auto materials = bow_in_use(bow).bow.materials;
  const auto softer = [&](double station)
  { return bending_stiffness(shape, materials, station, nullptr) / bending_stiffness(shape, materials, station, &knot); };
  double mean = 0.;
  constexpr int n = 200;
  for (int i = 0; i < n; ++i)
    mean += softer(knot.station + ((i + 0.5) / n - 0.5) * shape.stack(knot.station)) / n;
  CheckTable table("A hole of 7/16 in in the maple under the belly glass, 1.35 in wide there",
                   "plane sections, the layer as wide as what is left of it");
  table.note("bend over the sound bow's in the narrowest section, plane sections [1]", softer(knot.station));
  // A hundredth more or less: the wood beside so short a hole stretches more than a plane section has it, and the straight line
  // through the section's strains, which the bend is taken from, counts it.
  table.absolute("bend over the sound bow's, over one thickness [1]", found.bend_ratio, mean, 0.015);
  table.at_most("draw weight lost [1]", 1. - cost.weight_with / cost.weight_without, 0.005);
  table.at_least("draw weight lost [1]", 1. - cost.weight_with / cost.weight_without, 0.);
  CHECK(role_of(bow, results, found) == FlawRole::hidden);
}

TEST_CASE("A pin knot and run-out on the back of a self bow govern it", "[verification]")
{
  Case bow = example("ash-pin-knot");
  bow.solve.cycles = 0;
  const DrawResults results = drawn_beside(bow);
  const FlawCost &cost = results.flaw_costs[0];
  REQUIRE(cost.flaws.size() == 2);
  CHECK(role_of(bow, results, cost.flaws[0]) == FlawRole::governs);
  CHECK(role_of(bow, results, cost.flaws[1]) == FlawRole::counts);
  CHECK(cost.weight_with < cost.weight_without);
  CHECK(cost.weight_with > 0.98 * cost.weight_without);
  // Without the knot the back holds to full draw.
  CHECK(worst_for_people(bow, cost.flaws[0].with)->index > 1.);
  CHECK(worst_for_people(bow, cost.flaws[0].without)->index < comfortable_index);
}
