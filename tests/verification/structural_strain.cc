#include "materials/law/fibre_bending.h"
#include "solver/failure/snapshot.h"
#include "support/bodies.h"
#include "support/check_table.h"

#include <algorithm>
#include <cmath>
#include <random>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double E = 11e9, width = 35e-3, inch = 0.0254; // Pa, m

Material yielding_wood()
{
  Material wood = elastic_material(E, E / 16.);
  wood.kind = MaterialKind::wood;
  wood.strengths.compression_L = 45e6;
  wood.strengths.tension_L = 110e6;
  wood.crushing.yield_ratio = 0.8;
  return wood;
}

// Bent by an end moment [N m] in steps, and judged.
LimbJudge::Verdict bent(const LimbDescription &bar, double column_length, double moment)
{
  MeshSettings mesh;
  mesh.column_length = column_length;
  mesh.end_refinement = 0.;
  const std::map<std::string, Material> woods{{"elastic", yielding_wood()}};
  Body body(bar, mesh, woods);
  body.solid.let_crush({crushing_law(woods.at("elastic"))});
  SectionMoment load(body.solid, bar.tip_station);
  Equilibrium equilibrium({&body.solid}, {});
  State state = equilibrium.zero(0);
  constexpr int n_steps = 8;
  for (int i = 1; i <= n_steps; ++i)
  {
    const NewtonResult result = equilibrium.solve(state, State(state), moment * i / n_steps, load.moment(1.));
    INFO(result.reason);
    REQUIRE(result.converged);
    body.solid.commit(state.q[0]);
  }
  LimbJudge judge(body.solid, woods, {}, 0.);
  return judge.judge(LimbName::upper, body.solid.space().expand(state.q[0]));
}

// Greatest shortening of the belly that is judged, of the elements, and the fraction of its section that has yielded.
struct Belly
{
  double judged = 0., raw = 0., yielded = 0.;
};

Belly belly_of(const LimbJudge::Verdict &verdict, double from, double to)
{
  Belly belly;
  for (const FaceState &face : verdict.snapshot.faces)
    if (face.face == Face::belly && face.station > from && face.station < to)
    {
      belly.judged = std::max(belly.judged, -face.strain_along);
      belly.raw = std::max(belly.raw, -face.raw_strain_along);
    }
  for (const SectionState &section : verdict.snapshot.sections)
    if (section.station > from && section.station < to)
      belly.yielded = std::max(belly.yielded, section.yielded_share);
  return belly;
}

// A beam of fibres under the same moment.
Belly fibre_beam(double height, double moment)
{
  FibreBar bar(*crushing_law(yielding_wood()), E, width, height);
  double low = 0., high = 1.;
  for (int i = 0; i < 60; ++i)
  {
    FibreBar trial(*crushing_law(yielding_wood()), E, width, height);
    trial.bend_to(0.5 * (low + high));
    (trial.moment() < moment ? low : high) = 0.5 * (low + high);
  }
  bar.bend_to(low);
  constexpr std::size_t n = 2000;
  std::size_t yielded = 0;
  for (std::size_t i = 0; i < n; ++i)
    yielded += bar.plastic_strain(i) > 0. ? 1 : 0;
  return {bar.belly_strain(), bar.belly_strain(), static_cast<double>(yielded) / n};
}
} // namespace

TEST_CASE("A belly with a corner at every caliper reading is judged as a beam of fibres, whatever the columns", "[verification]")
{
  // Half an inch thick, read each inch to .003 in: straight between the readings.
  constexpr double length = 12. * inch, thickness = 0.5 * inch, moment = 62.;
  LimbDescription bar = straight_bar(length, thickness, width);
  StationTable &table = bar.laminations[0].thickness;
  table = {};
  std::minstd_rand random(7);
  double thinnest = thickness;
  for (int i = 0; i <= 12; ++i)
  {
    table.station.push_back(i * inch);
    table.value.push_back(thickness + 0.003 * inch * (2. * (random() - 1.) / (random.max() - 1.) - 1.));
    if (i > 1 && i < 11)
      thinnest = std::min(thinnest, table.value.back());
  }
  CheckTable check("A board bent by a moment past its proportional limit",
                   "beam of 2000 fibres of the same law, plane sections (materials/law/fibre_bending)");
  const Belly beam = fibre_beam(thinnest, moment);
  for (const double column : {0.24, 0.12, 0.06})
  {
    const Belly belly = belly_of(bent(bar, column * inch, moment), inch, length - inch);
    const std::string of = ", columns of " + std::to_string(column).substr(0, 4) + " in [1]";
    check.relative("belly strain" + of, belly.judged, beam.judged, 0.01);
    check.relative("yielded fraction" + of, belly.yielded, beam.yielded, 0.01);
    check.note("belly strain of the elements" + of, belly.raw);
  }
}

TEST_CASE("A block that ends on a yielding belly leaves the back's strain to the section", "[verification]")
{
  // Beyond the block's end the back is strained as it is without a block.
  constexpr double length = 12. * inch, thickness = 0.45 * inch, moment = 47.;
  const LimbDescription plain = straight_bar(length, thickness, width);
  LimbDescription blocked = plain;
  LaminationDescription block = full_lamination("elastic", 0., 0., 6. * inch);
  block.thickness = {{0., 5. * inch, 6. * inch}, {1. * inch, 0.35 * inch, 0.}};
  block.end = 6. * inch;
  blocked.laminations.insert(blocked.laminations.begin(), block);
  blocked.glue.assign(1, {"", 0., 1e13});
  const auto back = [&](const LimbDescription &bar)
  {
    MeshSettings mesh;
    double most = 0.;
    for (const FaceState &face : bent(bar, 0.06 * inch, moment).snapshot.faces)
      if (face.face == Face::back && face.lamination == static_cast<int>(bar.laminations.size()) - 1 &&
          face.station > 5. * inch && face.station < 8. * inch)
        most = std::max(most, face.strain_along);
    return most;
  };
  CheckTable check("A belly block that runs out on a bar past its proportional limit",
                   "the same bar without the block, and a beam of fibres");
  check.relative("greatest strain of the back near the end [1]", back(blocked), back(plain), 0.02);
}
