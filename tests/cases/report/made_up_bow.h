#pragma once

#include "cases/reader/case.h"
#include "solver/results.h"

#include <cstdlib>
#include <filesystem>
#include <stdexcept>
#include <string>

namespace limbwright::made_up
{
// A bow and results of no meaning, with round numbers that are easy to find again in a file.

inline Material wood()
{
  Material material;
  material.name = "core-wood";
  material.title = "Core wood";
  material.kind = MaterialKind::wood;
  material.density = 700.;
  material.constants = {12e9, 1.2e9, 0.6e9, 1e9, 0.9e9, 0.1e9, 0.35, 0.4, 0.5};
  material.strengths.tension_L = 120e6;
  material.strengths.compression_L = 50e6;
  material.strengths.shear_LR = 12e6;
  material.sources["tension_L"] = {Provenance::estimate, "judged from the bending strength", ""};
  material.sources["compression_L"] = {Provenance::table, "A handbook, table 1", "12 % moisture"};
  material.sources["shear_LR"] = {Provenance::memory, "", ""};
  return material;
}

inline Material glass()
{
  Material material;
  material.name = "bow-glass";
  material.title = "Bow glass";
  material.kind = MaterialKind::composite;
  material.density = 1900.;
  material.constants = {41e9, 10e9, 10e9, 4e9, 4e9, 3.5e9, 0.27, 0.27, 0.4};
  material.strengths.tension_L = 1000e6;
  material.strengths.compression_L = 800e6;
  material.sources["tension_L"] = {Provenance::table, "A handbook, table 2", ""};
  material.sources["compression_L"] = {Provenance::memory, "", ""};
  return material;
}

inline Adhesive epoxy()
{
  Adhesive adhesive;
  adhesive.name = "epoxy";
  adhesive.title = "Epoxy";
  adhesive.density = 1150.;
  adhesive.youngs_modulus = 3e9;
  adhesive.shear_modulus = 1.1e9;
  adhesive.tensile_strength = 30e6;
  adhesive.shear_strength = 20e6;
  adhesive.sources["shear_strength"] = {Provenance::measured, "A paper, table 3", ""};
  adhesive.sources["tensile_strength"] = {Provenance::measured, "A paper, table 3", ""};
  return adhesive;
}

/// Straight limb, root at 8 in, tip at 32 in: glass 1 mm, core 8 mm to 5 mm, a power lamination of 2 mm to nothing at 20 in,
/// glass 1 mm.
inline Case bow()
{
  constexpr double in = 0.0254;
  Case made;
  made.name = "made-up";
  made.title = "A made-up bow";
  auto &limb = made.bow.upper;
  limb.root_station = 8. * in;
  limb.tip_station = 32. * in;
  limb.root_back_x = 0.04;
  limb.root_back_y = 8. * in;
  limb.profile.lean = StationTable::constant(0.);
  limb.width = {{8. * in, 32. * in}, {0.035, 0.015}};
  const auto lamination = [&](const char *name, const char *material, StationTable thickness)
  {
    LaminationDescription piece;
    piece.name = name;
    piece.material = material;
    piece.thickness = std::move(thickness);
    piece.start = limb.root_station;
    piece.end = limb.tip_station;
    return piece;
  };
  limb.laminations = {lamination("belly glass", "bow-glass", StationTable::constant(1e-3)),
                      lamination("core", "core-wood", {{8. * in, 32. * in}, {8e-3, 5e-3}}),
                      lamination("power lam", "core-wood", {{8. * in, 20. * in}, {2e-3, 0.}}),
                      lamination("back glass", "bow-glass", StationTable::constant(1e-3))};
  limb.laminations[2].end = 20. * in;
  limb.glue.assign(3, {"epoxy", 0.1e-3, 0.});
  limb.nock = {31.5 * in, 1.};
  made.bow.materials = {{"core-wood", wood()}, {"bow-glass", glass()}};
  made.bow.adhesives = {{"epoxy", epoxy()}};
  made.bow.brace_height = 0.18;
  made.bow.full_draw = 26.25 * in;
  made.expectations = {{"draw_weight_N", 200., 5.}, {"stored_energy_J", 70., 1.}, {"no_such_thing", 1., 1.}};
  made.resolved = "title = \"A made-up bow\"\n";
  return made;
}

inline HotSpot spot(int lamination, int glue_line, Face face, FailureMode mode, double index, double value, double limit)
{
  HotSpot made;
  made.station = 0.2794; // 11 in
  made.lamination = lamination;
  made.glue_line = glue_line;
  made.face = face;
  made.mode = mode;
  made.index = index;
  made.value = value;
  made.limit = limit;
  return made;
}

inline DrawPoint point(double draw, double force)
{
  DrawPoint made;
  made.draw = draw;
  made.force = force;
  made.stiffness = 400.;
  made.tension = 300.;
  made.string_angle = 1.4;
  made.work = force * draw / 2.;
  return made;
}

inline LimbSnapshot limb(double scale)
{
  LimbSnapshot made;
  for (const double station : {0.25, 0.50, 0.75})
  {
    for (int lamination = 0; lamination < 4; ++lamination)
      for (const Face face : {Face::belly, Face::back})
      {
        const double strain = scale * (lamination < 2 ? -0.008 : 0.009) * (station == 0.50 ? 1. : 0.5);
        made.faces.push_back({station, lamination, face, strain, 12e9 * strain, 1e5, 2e6, station == 0.25});
      }
    made.glue.push_back({station, 1, 1e-4, scale * 2e6, -1e5, scale * 1.9e6, -0.9e5, false});
    made.sections.push_back({station, 0.03, 0.01, scale * 1.6, 1e-4, -0.008, 0.009, -0.1, station});
  }
  return made;
}

/// Full draw with 200 N.
inline DrawResults results()
{
  DrawResults made;
  made.complete = true;
  made.brace_height = 0.18;
  made.brace_tension = 400.;
  made.full_draw_tension = 300.;
  made.draw_weight = 200.;
  made.draw_length = 0.66675;
  made.rise_per_metre = 400.;
  made.stored_energy = 50.;
  made.string_slack_length = 1.55;
  made.tip_angle = 1.;
  made.mass_upper = made.mass_lower = 0.15;
  made.draw_curve = {point(0.18, 0.), point(0.4, 100.), point(0.66675, 200.)};
  made.snapshots = {{"unstrung", point(0., 0.), {limb(0.)}, {}, ""},
                    {"braced", point(0.18, 0.), {limb(0.4)}, {}, "braced"},
                    {"full draw", point(0.66675, 200.), {limb(1.)}, {}, "full_draw"}};
  made.worst = {spot(1, -1, Face::belly, FailureMode::belly_set, 2.1, 0.0086, 0.0042),
                spot(1, -1, Face::belly, FailureMode::compression_along, 2.0, -100e6, 50e6),
                spot(1, -1, Face::belly, FailureMode::belly_crushing, 0.93, 0.0086, 0.0092),
                spot(0, -1, Face::belly, FailureMode::compression_along, 0.62, -496e6, 800e6),
                spot(2, -1, Face::back, FailureMode::tension_along, 0.55, 66e6, 120e6),
                spot(-1, 1, Face::inside, FailureMode::glue_shear, 0.1, 2e6, 20e6)};
  made.worst[3].draw_at_one = 0.70;
  made.worst[5].averaged = true;
  made.worst[5].note = "within one thickness of an end";
  made.solve.unknowns = 8194;
  made.solve.cells = 960;
  made.solve.columns = 120;
  made.solve.draw_iterations = 8;
  made.solve.phases = {{"mesh", 0.1}, {"solve", 1.5}, {"solve", 0.5}};
  return made;
}

/// An empty folder of its own for each use; removed at the end.
class Folder
{
public:
  Folder()
  {
    std::string name = (std::filesystem::temp_directory_path() / "limbwright-test-XXXXXX").string();
    if (::mkdtemp(name.data()) == nullptr)
      throw std::runtime_error("no temporary folder");
    path = name;
  }
  ~Folder()
  {
    std::error_code ignored;
    std::filesystem::remove_all(path, ignored);
  }
  Folder(const Folder &) = delete;
  Folder &operator=(const Folder &) = delete;

  std::filesystem::path path;
};
} // namespace limbwright::made_up
