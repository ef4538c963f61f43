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
  double reached = 0., step = moment / 8.;
  while (reached < moment)
  {
    const double next = std::min(moment, reached + step);
    State trial = state;
    if (!equilibrium.solve(trial, state, next, load.moment(1.)).converged)
    {
      step *= 0.5;
      REQUIRE(step > 1e-3 * moment);
      continue;
    }
    state = trial;
    reached = next;
    body.solid.commit(state.q[0]);
  }
  const std::map<std::string, Adhesive> none;
  LimbJudge judge(body.solid, woods, none, 0.);
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
  constexpr double length = 12. * inch, thickness = 0.5 * inch, moment = 58.;
  LimbDescription bar = straight_bar(length, thickness, width);
  StationTable &table = bar.laminations[0].thickness;
  table = {};
  std::minstd_rand random(7);
  double thinnest = thickness;
  for (int i = 0; i <= 12; ++i)
  {
    table.station.push_back(i * inch);
    table.value.push_back(thickness + 0.003 * inch * (2. * (random() - 1.) / (random.max() - 1.) - 1.));
    thinnest = std::min(thinnest, table.value.back());
  }
  // Clamp and moment press on sections that stay elastic.
  table.value.front() = table.value.back() = 0.8 * inch;
  CheckTable check("A board bent by a moment past its proportional limit",
                   "beam of 2000 fibres of the same law, plane sections (materials/law/fibre_bending)");
  const Belly beam = fibre_beam(thinnest, moment);
  for (const double column : {0.24, 0.12, 0.06})
  {
    const Belly belly = belly_of(bent(bar, column * inch, moment), inch, length - inch);
    const std::string of = ", columns of " + std::to_string(column).substr(0, 4) + " in [1]";
    check.relative("belly strain" + of, belly.judged, beam.judged, 0.01);
    check.relative("yielded fraction" + of, belly.yielded, beam.yielded, 0.02); // the beam's strains are small ones
    check.note("belly strain of the elements" + of, belly.raw);
  }
}
