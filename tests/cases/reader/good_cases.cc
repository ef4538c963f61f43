#include "good_case.h"

#include "cases/reader/case_reader.h"
#include "cases/reader/key_reference.h"
#include "cases/reader/material_library.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <filesystem>
#include <string>
#include <vector>

using namespace limbwright;

namespace
{
constexpr double inch = 0.0254;

bool same(double a, double b)
{
  return a == b || (std::isnan(a) && std::isnan(b));
}

void check_same(const StationTable &a, const StationTable &b)
{
  CHECK(a.station == b.station);
  CHECK(a.value == b.value);
}

void check_same(const LimbDescription &a, const LimbDescription &b)
{
  CHECK(a.root_station == b.root_station);
  CHECK(a.tip_station == b.tip_station);
  CHECK(a.root_back_x == b.root_back_x);
  CHECK(a.root_back_y == b.root_back_y);
  CHECK(a.section.back_width_factor == b.section.back_width_factor);
  CHECK(a.section.belly_width_factor == b.section.belly_width_factor);
  CHECK(a.nock.station == b.nock.station);
  CHECK(a.nock.depth_fraction == b.nock.depth_fraction);
  check_same(a.width, b.width);
  check_same(a.profile.lean, b.profile.lean);
  REQUIRE(a.laminations.size() == b.laminations.size());
  for (std::size_t i = 0; i < a.laminations.size(); ++i)
  {
    const LaminationDescription &p = a.laminations[i], &q = b.laminations[i];
    CHECK(p.name == q.name);
    CHECK(p.material == q.material);
    check_same(p.thickness, q.thickness);
    check_same(p.run_out, q.run_out);
    CHECK(p.start == q.start);
    CHECK(p.end == q.end);
    CHECK(p.feather == q.feather);
    CHECK(p.bevel == q.bevel);
    CHECK(p.ring == q.ring);
  }
  REQUIRE(a.glue.size() == b.glue.size());
  for (std::size_t i = 0; i < a.glue.size(); ++i)
  {
    CHECK(a.glue[i].adhesive == b.glue[i].adhesive);
    CHECK(a.glue[i].thickness == b.glue[i].thickness);
    CHECK(a.glue[i].bond_stiffness == b.glue[i].bond_stiffness);
  }
}

void check_same(const Material &a, const Material &b)
{
  CHECK(a.name == b.name);
  CHECK(a.title == b.title);
  CHECK(a.kind == b.kind);
  const auto numbers = [](const Material &m)
  {
    const OrthotropicConstants &c = m.constants;
    const Strengths &s = m.strengths;
    return std::vector<double>{m.density,
                               c.E_L,
                               c.E_R,
                               c.E_T,
                               c.G_LR,
                               c.G_LT,
                               c.G_RT,
                               c.nu_LR,
                               c.nu_LT,
                               c.nu_RT,
                               s.tension_L,
                               s.compression_L,
                               s.tension_R,
                               s.compression_R,
                               s.tension_T,
                               s.compression_T,
                               s.shear_LR,
                               s.shear_LT,
                               s.shear_RT,
                               m.crushing.yield_ratio,
                               m.crushing.hardening_strain,
                               m.crushing.falling,
                               m.crushing.fall_from,
                               m.crushing.floor,
                               m.modulus_of_rupture,
                               m.modulus_of_elasticity};
  };
  const auto p = numbers(a), q = numbers(b);
  for (std::size_t i = 0; i < p.size(); ++i)
  {
    INFO(a.name << " number " << i << ": " << p[i] << " and " << q[i]);
    CHECK(same(p[i], q[i]));
  }
  CHECK(a.further == b.further);
  CHECK(a.sources.size() == b.sources.size());
  for (const auto &[key, source] : a.sources)
  {
    REQUIRE(b.sources.contains(key));
    CHECK(b.sources.at(key).provenance == source.provenance);
    CHECK(b.sources.at(key).source == source.source);
    CHECK(b.sources.at(key).conditions == source.conditions);
  }
}

void check_same(const Case &a, const Case &b)
{
  CHECK(a.title == b.title);
  CHECK(a.about == b.about);
  CHECK(a.throat_to_back == b.throat_to_back);
  CHECK(a.convention == b.convention);
  CHECK(a.stack_includes_glue == b.stack_includes_glue);
  CHECK(a.bow.brace_height == b.bow.brace_height);
  CHECK(a.bow.full_draw == b.bow.full_draw);
  CHECK(a.bow.string.stiffness == b.bow.string.stiffness);
  CHECK(a.bow.string.mass == b.bow.string.mass);
  CHECK(a.bow.hold.nocking_height == b.bow.hold.nocking_height);
  CHECK(a.bow.hold.free_height == b.bow.hold.free_height);
  CHECK(a.bow.hold.free_handle == b.bow.hold.free_handle);
  CHECK(a.bow.hold.pressure_height == b.bow.hold.pressure_height);
  check_same(a.bow.upper, b.bow.upper);
  REQUIRE(a.bow.lower.has_value() == b.bow.lower.has_value());
  if (a.bow.lower)
    check_same(*a.bow.lower, *b.bow.lower);
  REQUIRE(a.bow.materials.size() == b.bow.materials.size());
  for (const auto &[name, material] : a.bow.materials)
    check_same(material, b.bow.materials.at(name));
  REQUIRE(a.bow.adhesives.size() == b.bow.adhesives.size());
  for (const auto &[name, adhesive] : a.bow.adhesives)
  {
    CHECK(same(adhesive.shear_modulus, b.bow.adhesives.at(name).shear_modulus));
    CHECK(same(adhesive.fracture_energy_I, b.bow.adhesives.at(name).fracture_energy_I));
    CHECK(adhesive.further == b.bow.adhesives.at(name).further);
  }
  CHECK(a.mesh.column_length == b.mesh.column_length);
  CHECK(a.mesh.rows_per_lamination == b.mesh.rows_per_lamination);
  CHECK(a.mesh.row_height == b.mesh.row_height);
  CHECK(a.mesh.end_refinement == b.mesh.end_refinement);
  CHECK(a.mesh.growth == b.mesh.growth);
  CHECK(a.solve.plane == b.solve.plane);
  CHECK(a.solve.brace_steps == b.solve.brace_steps);
  CHECK(a.solve.draw_steps == b.solve.draw_steps);
  CHECK(a.solve.max_iterations == b.solve.max_iterations);
  CHECK(a.solve.tolerance == b.solve.tolerance);
  CHECK(a.solve.averaging_length == b.solve.averaging_length);
  REQUIRE(a.expectations.size() == b.expectations.size());
  for (std::size_t i = 0; i < a.expectations.size(); ++i)
  {
    CHECK(a.expectations[i].quantity == b.expectations[i].quantity);
    CHECK(a.expectations[i].value == b.expectations[i].value);
    CHECK(a.expectations[i].tolerance == b.expectations[i].tolerance);
  }
}

std::vector<std::filesystem::path> sound_files()
{
  std::vector<std::filesystem::path> files;
  for (const std::string &folder : {std::string(LIMBWRIGHT_EXAMPLES), std::string(LIMBWRIGHT_TEST_DATA) + "/twins"})
    for (const auto &entry : std::filesystem::recursive_directory_iterator(folder))
      if (entry.path().extension() == ".toml")
        files.push_back(entry.path());
  return files;
}

} // namespace

TEST_CASE("A sound case is read into SI", "[quick]")
{
  const Case read = read_sound(good_case);
  CHECK(read.name == "trial");
  CHECK(read.bow.brace_height == Approx(6. * inch));
  CHECK(read.bow.full_draw == Approx(26.25 * inch)); // 28 in less the convention's 1.75 in
  CHECK(convention_offset(read) == Approx(1.75 * inch));
  CHECK(read.bow.string.stiffness == Approx(4700. * 4.4482216152605));
  CHECK(read.bow.string.mass == Approx(150. * 64.79891e-6));
  const LimbDescription &limb = read.bow.upper;
  CHECK_FALSE(read.bow.lower);
  CHECK(limb.root_station == Approx(4. * inch));
  CHECK(limb.tip_station == Approx(32. * inch));
  CHECK(limb.nock.station == Approx(32. * inch));
  CHECK(limb.nock.depth_fraction == 1.);
  CHECK(limb.root_back_x == Approx(1.75 * inch));
  CHECK(limb.root_back_y == Approx(4. * inch));
  CHECK(limb.section.back_width_factor == 0.9);
  REQUIRE(limb.laminations.size() == 3);
  CHECK(limb.laminations[0].end == Approx(32. * inch));
  CHECK(limb.laminations[1].end == Approx(14. * inch));
  CHECK(limb.laminations[1].feather == Approx(0.005 * inch));
  REQUIRE(limb.laminations[2].thickness.value.size() == 2);
  CHECK(limb.laminations[2].thickness.value[1] == Approx((0.12 - 0.028) * inch)); // 1 thou/in over 28 in
  CHECK(limb.laminations[2].run_out.value.at(0) == Approx(std::atan(0.05)));
  CHECK(limb.laminations[2].ring == RingOrientation::edge);
  REQUIRE(limb.glue.size() == 2);
  CHECK(limb.glue[0].thickness == Approx(0.004 * inch));
  CHECK(limb.glue[1].thickness == Approx(0.006 * inch));
  const Material &own = read.bow.materials.at("own");
  CHECK(own.constants.E_L == Approx(12e9));
  CHECK(own.constants.E_R == library_materials().at("hard-maple").constants.E_R);
  CHECK(own.sources.at("density").provenance == Provenance::measured);
  CHECK(read.bow.materials.contains("white-ash"));
  CHECK(read.bow.adhesives.contains("epoxy"));
  CHECK(read.mesh.growth == 1.4);
  CHECK(read.solve.draw_steps == 6);
  REQUIRE(read.expectations.size() == 1);
  CHECK(read.expectations[0].value == Approx(45. * 4.4482216152605));
  CHECK(read.expectations[0].tolerance == Approx(0.03 * read.expectations[0].value));
}

TEST_CASE("A draw length is told in three conventions", "[quick]")
{
  const std::string line = "draw_length = \"28 in\"";
  CHECK(read_sound(with(good_case, line, line + "\ndraw_convention = \"pivot\"")).bow.full_draw == Approx(28. * inch));
  const std::string thick =
      with(with(good_case, line, line + "\ndraw_convention = \"back of bow\""), "back = \"1.75 in\"", "back = \"2 in\"");
  CHECK(read_sound(thick).bow.full_draw == Approx(26. * inch));
}

TEST_CASE("A stack measured glued has its glue taken off", "[quick]")
{
  const Case apart = read_sound(good_case);
  const Case glued = read_sound(with(good_case, "adhesive = \"epoxy\"", "adhesive = \"epoxy\"\nstack = \"glued\""));
  CHECK(glued.stack_includes_glue);
  const auto at_root = [](const Case &read)
  {
    double sum = 0.;
    for (const LaminationDescription &lamination : read.bow.upper.laminations)
      sum += lamination.thickness.value.front();
    return sum;
  };
  CHECK(at_root(apart) - at_root(glued) == Approx((0.004 + 0.006) * inch)); // both lines at the root, once each
}

TEST_CASE("Offsets from a straightedge become a smooth lean", "[quick]")
{
  // A circular arc of 100 in radius: offset = R (1 - cos(s/R)), lean = s/R, s along the back.
  std::string rows;
  for (int s = 0; s <= 32; s += 2)
    rows += (s == 0 ? "[" : ", [") + std::to_string(s) + ", " + std::to_string(100. * (1. - std::cos(s / 100.))) + "]";
  const Case read =
      read_sound(with(good_case, "lean = \"deg\", rows = [[4, 0], [32, 5]]", "offset = \"in\", rows = [" + rows + "]"));
  const StationTable &lean = read.bow.upper.profile.lean;
  REQUIRE(lean.station.size() > 100);
  for (std::size_t i = 0; i < lean.station.size(); ++i)
    if (lean.station[i] > 4. * inch && lean.station[i] < 30. * inch)
      CHECK(lean.value[i] == Approx(lean.station[i] / (100. * inch)).margin(3e-4));
}

TEST_CASE("Unlike limbs are read each by itself", "[quick]")
{
  const std::string text = with(with(unlike_case(), "length = \"31 in\"", "length = \"33 in\""),
                                "[[lower.lamination]]\nname = \"power lam\"\nmaterial = \"hard-maple\"",
                                "[[lower.lamination]]\nname = \"power lam\"\nmaterial = \"black-locust\"");
  const Case read = read_sound(text);
  REQUIRE(read.bow.lower);
  CHECK(read.bow.upper.tip_station == Approx(32. * inch));
  CHECK(read.bow.lower->tip_station == Approx(33. * inch));
  CHECK(read.bow.lower->laminations[1].material == "black-locust");
  CHECK(read.bow.lower->glue.size() == 2);
  check_same(read, read_sound(read.resolved));
}

TEST_CASE("The hold of a bow of unlike limbs is read, and has defaults", "[quick]")
{
  const HoldDescription plain = read_sound(unlike_case()).bow.hold;
  CHECK(plain.nocking_height == 0.);
  CHECK(plain.free_height);
  CHECK_FALSE(plain.free_handle);
  CHECK(plain.pressure_height == 0.);

  const auto held = [](const std::string &lines) { return with(unlike_case(), "[string]", "[hold]\n" + lines + "\n[string]"); };
  const Case all = read_sound(held("nocking_height = \"1.25 in\"\nfingers = \"three under\"\nfingers_below = \"1 in\"\n"
                                   "height = \"kept\"\nhandle = \"rocks\"\npressure_height = \"-0.5 in\""));
  CHECK(all.bow.hold.nocking_height == Approx(0.25 * inch));
  CHECK_FALSE(all.bow.hold.free_height);
  CHECK(all.bow.hold.free_handle);
  CHECK(all.bow.hold.pressure_height == Approx(-0.5 * inch));
  check_same(all, read_sound(all.resolved));

  // The fingers' place follows from how they hold where it is not given.
  CHECK(read_sound(held("nocking_height = \"1.25 in\"")).bow.hold.nocking_height == Approx(1.25 * inch));
  CHECK(read_sound(held("nocking_height = \"1.25 in\"\nfingers = \"three under\"")).bow.hold.nocking_height ==
        Approx(0.35 * inch));

  const ReadOutcome outcome = read_case_text(held("pressure_height = \"1 in\""), "trial.toml");
  CHECK(outcome.read);
  REQUIRE(outcome.warnings.size() == 1);
  CHECK(outcome.warnings[0].key == "hold.pressure_height");
  CHECK(outcome.warnings[0].message.find("has no effect while the handle is fixed") != std::string::npos);
}

TEST_CASE("An overlay may end square on the outside of the limb", "[quick]")
{
  // A thick power lamination between two others is refused (bad_cases.cc); the same on the back is not.
  const std::string overlay = "[[limb.lamination]]\nname = \"overlay\"\nmaterial = \"hard-maple\"\nthickness = \"0.06 in\"\n"
                              "start = \"28 in\"\nend = \"31 in\"\n";
  const Case read = read_sound(with(good_case, "[glue]\n", overlay + "[glue]\n"));
  CHECK(read.bow.upper.laminations.size() == 4);
}

TEST_CASE("A table that stops short is warned of", "[quick]")
{
  const ReadOutcome outcome = read_case_text(with(good_case, "[32, 0.5]]", "[28, 0.5]]"), "trial.toml");
  CHECK(outcome.read);
  REQUIRE(outcome.warnings.size() == 1);
  CHECK(outcome.warnings[0].key == "limb.width");
  CHECK(outcome.warnings[0].message.find("the end values are used") != std::string::npos);
}

TEST_CASE("The resolved case reads back as the same case", "[quick]")
{
  const Case read = read_sound(good_case);
  CHECK(read.resolved.find("feather = \"0.005 in\" # default") != std::string::npos);
  CHECK(read.resolved.find("[material.hard-maple]") != std::string::npos);
  check_same(read, read_sound(read.resolved));
  for (const auto &file : sound_files())
  {
    INFO(file);
    const ReadOutcome outcome = read_case(file);
    REQUIRE(outcome.read);
    check_same(*outcome.read, read_sound(outcome.read->resolved));
  }
}

TEST_CASE("Every shipped example and twin reads without complaint", "[quick]")
{
  const auto files = sound_files();
  CHECK(files.size() >= 12);
  for (const auto &file : files)
  {
    const ReadOutcome outcome = read_case(file);
    for (const Diagnostic &error : outcome.errors)
      FAIL_CHECK(format(error));
    for (const Diagnostic &warning : outcome.warnings)
      FAIL_CHECK(format(warning));
  }
}

TEST_CASE("The key reference names every key and table", "[quick]")
{
  const std::string reference = key_reference();
  // What the resolved case of a bow holds is what can be written.
  const std::string resolved = read_sound(good_case).resolved + read_sound(unlike_case()).resolved;
  int n_keys = 0;
  for (std::size_t begin = 0; begin < resolved.size();)
  {
    const std::size_t end = resolved.find('\n', begin);
    const std::string line = resolved.substr(begin, end - begin);
    begin = end + 1;
    const auto equals = line.find(" = ");
    if (line.empty() || line[0] == '#' || line[0] == '[' || equals == std::string::npos)
      continue;
    ++n_keys;
    INFO(line);
    const std::string key = line.substr(0, equals);
    CHECK((reference.find("\n  " + key + "  (") != std::string::npos || library_further_units().contains(key)));
  }
  CHECK(n_keys > 60);
  for (const char *table :
       {"[bow]", "[handle]", "[hold]", "[string]", "[limb]", "[limb.section]", "[limb.nock]", "[[limb.lamination]]", "[glue]",
        "[[glue.line]]", "[material.NAME]", "[adhesive.NAME]", "[mesh]", "[solve]", "[[expect]]"})
    CHECK(reference.find("\n" + std::string(table) + "\n") != std::string::npos);
  CHECK(reference.find("brace_height  (needed)\n      a length (in") != std::string::npos);
  CHECK(reference.find("feather  (default \"0.005 in\")") != std::string::npos);
}

TEST_CASE("The library's values arrive in SI with their sources", "[quick]")
{
  CHECK(library_materials().size() >= 20);
  CHECK(library_adhesives().size() >= 4);
  for (const auto &[name, material] : library_materials())
  {
    INFO(name);
    CHECK(material.name == name);
    CHECK_FALSE(material.title.empty());
    CHECK(material.density > 100.);
    CHECK(material.constants.E_L > 1e8);
    for (const char *key : {"density", "E_L", "E_R", "E_T", "G_LR", "G_LT", "G_RT", "nu_LR", "nu_LT", "nu_RT"})
    {
      REQUIRE(material.sources.contains(key));
      CHECK_FALSE(material.sources.at(key).source.empty());
    }
  }
}
