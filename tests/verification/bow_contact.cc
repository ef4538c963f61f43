#include "support/check_table.h"
#include "support/elastica_bow.h"
#include "support/work_of_force.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
// A limb so thin that where the string lies on it, belly or axis, hardly matters: stiffness W [N m2] by width, the modulus is
// free.
struct ThinBow
{
  double thickness, root, tip; // [m]
  StationTable lean;           // [rad]
  StationTable stiffness;      // [N m2] by station
  double brace_height, full_draw;
};

BowDescription describe(const ThinBow &thin)
{
  const double modulus = 12e9 * std::pow(14e-3 / thin.thickness, 3);
  BowDescription bow;
  LimbDescription &limb = bow.upper;
  limb.root_station = thin.root;
  limb.tip_station = thin.tip;
  limb.root_back_x = thin.thickness / 2.;
  limb.root_back_y = thin.root;
  limb.profile.lean = thin.lean;
  limb.width.station = thin.stiffness.station;
  for (const double W : thin.stiffness.value)
    limb.width.value.push_back(12. * W / (modulus * std::pow(thin.thickness, 3)));
  limb.laminations = {full_lamination("elastic", thin.thickness, thin.root, thin.tip)};
  limb.nock = {thin.tip, 1.};
  bow.materials["elastic"] = elastic_material(modulus, modulus / 2.);
  bow.brace_height = thin.brace_height;
  bow.full_draw = thin.full_draw;
  return bow;
}

// Rigid straight ears at an angle (toward the target), the string's bridge at their root; 0.2 mm of limb carries the corner.
ThinBow static_recurve(double ear_angle)
{
  constexpr double corner = 0.2e-3;
  return {0.8e-3,
          0.10,
          0.80,
          {{0.10, 0.52, 0.52 + corner}, {0., 0., ear_angle}},
          {{0.10, 0.52, 0.52 + corner, 0.80}, {60., 30., 30e3, 30e3}},
          0.17,
          0.70};
}

ThinBow working_recurve()
{
  ThinBow bow{0.8e-3, 0.12, 0.82, {{0.12}, {-5. * M_PI / 180.}}, {{0.12, 0.82}, {45., 18.}}, 0.20, 0.70};
  for (int i = 0; i <= 44; ++i)
  {
    const double s = 0.60 + 0.22 * i / 44.;
    bow.lean.station.push_back(s);
    bow.lean.value.push_back(-5. * M_PI / 180. + 3.5 * (s - 0.60) * (s - 0.60) / 0.22);
  }
  return bow;
}

double force_at(const BowDescription &description, const LimbMesh<2> &mesh, double draw)
{
  BowDescription bow = description;
  bow.full_draw = draw;
  BowPath path(mesh, bow, DrawnBow::settings(6));
  const DrawPath drawn = path.run({}, nullptr);
  INFO(drawn.reason);
  REQUIRE(drawn.complete);
  return drawn.steps.back().point.force;
}
} // namespace

TEST_CASE("Rigid ears with a string bridge", "[verification]")
{
  struct Reference
  {
    double angle, half_string;
    std::vector<double> force; // at 0.3, 0.4, ... 0.7 m
  };
  const std::vector<Reference> references = {{0., .773783, {52.549, 79.407, 106.196, 135.862, 170.729}},
                                             {30., .766073, {99.675, 137.810, 171.046, 205.549, 244.853}},
                                             {60., .752482, {270.456, 263.951, 282.148, 312.958, 353.942}}};
  for (const Reference &reference : references)
  {
    const BowDescription bow = describe(static_recurve(reference.angle * M_PI / 180.));
    const LimbMesh<2> mesh(LimbShape(bow.upper), even_mesh(bow.upper, 140, 1));
    CheckTable table("Static recurve, ears at " + std::to_string(static_cast<int>(reference.angle)) + " degrees",
                     "independent elastica solver with a bridge; lengths of a bow of our own");
    BowPath path(mesh, bow, DrawnBow::settings(6));
    const DrawPath drawn = path.run({}, nullptr);
    REQUIRE(drawn.complete);
    table.relative("half string [m]", drawn.slack_length, reference.half_string, 0.01);
    for (int i = 0; i < 5; ++i)
      table.relative("force at " + std::to_string(30 + 10 * i) + " cm [N]", force_at(bow, mesh, 0.3 + 0.1 * i),
                     reference.force[i], 0.01);
    if (reference.angle == 60.)
    {
      table.relative("brace tension [N]", drawn.steps[1].point.tension, 747.04, 0.01);
      table.at_least("string on the limb at brace [m]", drawn.steps[1].point.contact_length, 0.27);
      // Across lift-off, where the curve has a kink, the work must still be the growth of the stored energy.
      table.relative("work [J] against growth of the stored energy", work_of_force(drawn),
                     drawn.steps.back().point.strain_energy - drawn.steps[1].point.strain_energy, 5e-4);
    }
  }
}

TEST_CASE("Working recurve: the string lies on the limb", "[verification]")
{
  const BowDescription bow = describe(working_recurve());
  const LimbMesh<2> mesh(LimbShape(bow.upper), even_mesh(bow.upper, 280, 1));
  BowPath path(mesh, bow, DrawnBow::settings(8));
  const DrawPath drawn = path.run({}, nullptr);
  REQUIRE(drawn.complete);
  CheckTable table("Working recurve", "independent elastica solver with the string on the axis; lengths of a bow of our own");
  table.relative("half string [m]", drawn.slack_length, .783427, 0.01);
  table.relative("brace tension [N]", drawn.steps[1].point.tension, 207.33, 0.01);
  const double reference[] = {36.710, 58.687, 78.752, 100.285, 125.161};
  for (int i = 0; i < 5; ++i)
    table.relative("force at " + std::to_string(30 + 10 * i) + " cm [N]", force_at(bow, mesh, 0.3 + 0.1 * i), reference[i], 0.01);
  table.relative("energy [J]", drawn.steps.back().point.work, 33.924, 0.01);
  table.relative("work [J] against growth of the stored energy", work_of_force(drawn),
                 drawn.steps.back().point.strain_energy - drawn.steps[1].point.strain_energy, 5e-4);
  // At 0.3 m of draw the string touches from s = 0.8051 m to the tip; the mesh finds it to its columns of 2.5 mm.
  BowDescription partly = bow;
  partly.full_draw = 0.3;
  BowPath to_03(mesh, partly, DrawnBow::settings(6));
  const DrawPath drawn_03 = to_03.run({}, nullptr);
  REQUIRE(drawn_03.complete);
  table.absolute("contact from [m] at 0.3 m of draw", drawn_03.steps.back().point.lift_off_station, 0.8051, 0.0025);
}

TEST_CASE("A string bridge is a hard point over the belly, a groove lets the string lie deeper", "[verification]")
{
  // Straight rigid ears at 60 degrees: a bridge of no height at their root changes nothing, for the string lies there anyway; one
  // with height holds the string off the ear, and the string of the braced bow grows by what it must go round.
  BowDescription bow = describe(static_recurve(60. * M_PI / 180.));
  const auto draw = [](const BowDescription &description)
  {
    const LimbMesh<2> mesh(LimbShape(description.upper), even_mesh(description.upper, 140, 1));
    BowPath path(mesh, description, DrawnBow::settings(6));
    DrawPath drawn = path.run({}, nullptr);
    REQUIRE(drawn.complete);
    return drawn;
  };
  const double corner = 0.52 + 0.2e-3, height = 0.03;
  const DrawPath plain = draw(bow);
  bow.upper.bridge = StringBridgeDescription{corner, 0.};
  const DrawPath flush = draw(bow);
  bow.upper.bridge->height = height;
  const DrawPath bridged = draw(bow);
  CheckTable table("Bridge on a rigid ear", "geometry");
  table.relative("flush bridge: weight [N]", flush.steps.back().point.force, plain.steps.back().point.force,
                 5e-3); // its station adds a column
  table.absolute("bridge: string touches at [m]", bridged.steps[1].point.lift_off_station, corner, 1e-6);
  // From the nock, on the belly, the string runs straight to the bridge's top, square off the ear.
  table.relative("bridge: string from it to the nock [m]", bridged.steps[1].point.contact_length,
                 std::hypot(0.80 - corner, height), 1e-3);
  table.at_least("bridge: string at brace over that without [1]", bridged.slack_length / plain.slack_length, 1.001);
  table.relative("work [J] against growth of the stored energy", work_of_force(bridged),
                 bridged.steps.back().point.strain_energy - bridged.steps[1].point.strain_energy, 1e-3);

  bow.upper.bridge.reset();
  bow.upper.nock.groove_length = 0.1;
  bow.upper.nock.groove_depth = 0.02; // deeper than the ear is thick: what counts here is where the string runs
  const DrawPath grooved = draw(bow);
  // Over 0.1 m the string lies 20 mm deeper, and climbs out of the groove at its end.
  table.at_least("groove: string on the ear [m] over that without",
                 grooved.steps[1].point.contact_length / plain.steps[1].point.contact_length, 1.0001);
  table.relative("groove: work [J] against growth of the stored energy", work_of_force(grooved),
                 grooved.steps.back().point.strain_energy - grooved.steps[1].point.strain_energy,
                 5e-3); // only the last lift-off is closed in on
}
