#include "cases/reader/case_reader.h"
#include "cases/report/comparison.h"
#include "cases/report/output_units.h"
#include "cases/report/text_file.h"
#include "cases/study/case_edit.h"
#include "cases/study/variation.h"
#include "meshing/shape/limb_shape.h"
#include "support/cases.h"
#include "support/check_table.h"

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
std::vector<VariedBow> vary(const std::string &twin, const std::vector<std::string> &keys, double weight)
{
  Variation variation{{}, "core", weight};
  std::string error;
  for (const std::string &key : keys)
    variation.keys.push_back(parse_varied_key(key, error));
  REQUIRE(error.empty());
  const auto file = std::filesystem::path(LIMBWRIGHT_TEST_DATA) / ".." / "cases" / "twins" / (twin + ".toml");
  std::vector<VariedBow> bows;
  for (const auto &values : combinations(variation.keys))
  {
    bows.push_back(vary_one(read_text_file(file), file.string(), variation, values, nullptr));
    INFO(bows.back().failure);
    REQUIRE(bows.back().failure.empty());
    CHECK(std::abs(bows.back().figures.weight - weight) <= weight_tolerance);
    CHECK(bows.back().solutions <= 6);
  }
  return bows;
}

// The thin-glass twin with another glass, its maples changed by an amount [m], at full draw.
LimbSnapshot drawn_with_glass(const std::string &thickness, double amount)
{
  const auto file = std::filesystem::path(LIMBWRIGHT_TEST_DATA) / ".." / "cases" / "twins" / "maple-glass-thin.toml";
  const EditedCase edited = with_value(read_text_file(file), "belly glass.thickness + back glass.thickness", thickness);
  REQUIRE(edited.error.empty());
  const ReadOutcome outcome = read_case_text(edited.text, file.string());
  REQUIRE(outcome.read);
  std::string error;
  const auto core = resizing(*outcome.read, "core", error);
  REQUIRE(core);
  const DrawResults results = draw_quickly(resized(*outcome.read, *core, amount), false, nullptr);
  REQUIRE(results.complete);
  return results.snapshots.back().limbs.front();
}

// [Pa] in the line above a lamination, at the node nearest to a station [m].
double shear_at(const LimbSnapshot &limb, int line, double station)
{
  double nearest = 1., shear = not_known;
  for (const GlueState &state : limb.glue)
    if (const double off = std::abs(state.station - station); state.line == line && off < nearest)
    {
      nearest = off;
      shear = std::abs(state.shear);
    }
  return shear;
}

const char *const source = "independent elastic beam calculation: two-limb elastica, no shear, no glue; the twins'";
} // namespace

TEST_CASE("Three glasses at equal weight follow the beam calculation", "[verification]")
{
  // The beam tells the core's strain where the glass's is largest, at the end of the power lamination; ours is the largest
  // anywhere, half an inch nearer to the handle, where more of that lamination is left: hence half as much again for it. Each
  // twin meets the beam's figures within 3 per cent (string to the axis, stations along the back); of a ratio of two strains half
  // of that is left to the faces at which they are read.
  const auto bows = vary("maple-glass-thin", {"belly glass.thickness + back glass.thickness = 0.036 in, 0.043 in, 0.055 in"},
                         43.1 * pound_force);
  const double core[] = {0.70, 0.63, 0.51}, glass[] = {0.98, 0.96, 0.93}, stack[] = {0.337, 0.330, 0.322};
  const char *const names[] = {".036", ".043", ".055"};
  // The beam's glue shear [psi], largest at its outermost section, 21.8 in along a limb that leaves the handle at 8 in: under the
  // belly's glass, and between the tip wedge and the parallel. The study tells the largest of any line, averaged, a stack's
  // thickness (a quarter inch) from the nock at 30.5 in, where the limb is 4.9 per cent narrower than at 29.8 in: so much more.
  const double under_glass[] = {291., 326., 379.}, in_core[] = {393., 407., 431.};
  constexpr double outermost = 29.8 * inch, narrower = 1.049;
  constexpr int belly_glass = 0, tip_wedge = 3;
  CheckTable table("Glass of three thicknesses, the maples ground to one weight", source);
  for (std::size_t i = 0; i < 3; ++i)
  {
    table.relative(std::string("core strain, ") + names[i] + " glass [%]", bows[i].figures.core_strain / percent, core[i], 0.045);
    table.relative(std::string("glass strain, ") + names[i] + " glass [%]", bows[i].figures.belly_strain / percent, glass[i],
                   0.03);
    const LimbSnapshot limb = drawn_with_glass(bows[i].values.front(), bows[i].amount);
    table.relative("glue shear under the glass, 29.8 in [psi]", shear_at(limb, belly_glass, outermost) / psi, under_glass[i],
                   0.03);
    table.relative("glue shear in the core, 29.8 in [psi]", shear_at(limb, tip_wedge, outermost) / psi, in_core[i], 0.03);
    table.relative("glue shear, largest [psi]", bows[i].figures.glue_shear / psi, narrower * in_core[i], 0.03);
    // Where the limb leaves the handle: 0.085 and 0.08 in tapers, 0.04 in parallel and the 0.06 in power lamination between
    // glass.
    const double here = 0.265 + 2. * (i == 0 ? 0.036 : i == 1 ? 0.043 : 0.055) + 2. * bows[i].amount / inch;
    table.absolute(std::string("stack at the handle, ") + names[i] + " glass [in]", here, stack[i], 0.003);
  }
  table.relative("core strain, thick over thin [1]", bows[2].figures.core_strain / bows[0].figures.core_strain, 0.51 / 0.70,
                 0.02);
  table.relative("glass strain, thick over thin [1]", bows[2].figures.belly_strain / bows[0].figures.belly_strain, 0.93 / 0.98,
                 0.02);
}

TEST_CASE("Tip width and reflex follow the beam calculation", "[verification]")
{
  CheckTable table("Bamboo on locust at equal weight", source);
  // The beam's glue shear is largest at the very tip; ours is averaged, and told away from the nock by a stack's thickness, over
  // which a narrow tip's falls faster: a tenth for it.
  const auto tips = vary("bamboo-locust-reflex", {"limb.width.rows[4][2] = 5/16 in, 3/8 in, 1/2 in, 5/8 in"}, 50.1 * pound_force);
  const double mass[] = {341., 356., 385., 414.}, shear[] = {438., 385., 309., 259.};
  constexpr double grain = pound_mass / 7000.;
  for (std::size_t i = 0; i < 4; ++i)
  {
    table.relative("outer 8 in, over the narrowest tip's [1]", tips[i].figures.outer_mass / tips[0].figures.outer_mass,
                   mass[i] / mass[0], 0.02);
    table.note("outer 8 in [grain]", tips[i].figures.outer_mass / grain);
    table.relative("glue shear, over the narrowest tip's [1]", tips[i].figures.glue_shear / tips[0].figures.glue_shear,
                   shear[i] / shear[0], 0.1);
    table.relative("belly strain, unchanged [1]", tips[i].figures.belly_strain / tips[0].figures.belly_strain, 1., 0.02);
    table.relative("energy, unchanged [1]", tips[i].figures.energy / tips[0].figures.energy, 1., 0.01);
  }
  // An inch more reflex: the lean grows linearly over 23 in, so the tip's by 2 in / 23 in.
  const auto reflex = vary("bamboo-locust-reflex", {"limb.profile.rows[3][2] = 7.5, 12.482"}, 50.1 * pound_force);
  const BowFigures &less = reflex[0].figures, &more = reflex[1].figures;
  table.absolute("energy per inch of reflex [%]", 100. * (more.energy / less.energy - 1.), 1.9, 0.4);
  table.absolute("belly strain per inch of reflex [%]", 100. * (more.belly_strain / less.belly_strain - 1.), 4.1, 0.8);
  table.absolute("brace tension per inch of reflex [lb]", (more.brace_tension - less.brace_tension) / pound_force, 4.4, 0.5);
  table.absolute("rise per inch of reflex [lb/in]", (more.rise - less.rise) / pound_force * inch, -0.11, 0.03);
}

TEST_CASE("A bow compared at equal weight is the bow of that width with a string as much stiffer", "[verification]")
{
  const auto file = std::filesystem::path(LIMBWRIGHT_TEST_DATA) / ".." / "cases" / "twins" / "ash-hickory-board.toml";
  ReadOutcome outcome = read_case_text(with_value(read_text_file(file), "mesh.column_length", "1 in").text, file.string());
  REQUIRE(outcome.read);
  Case narrow = *outcome.read;
  narrow.bow.string.stiffness = 2000. * pound_force; // one that gives a good deal
  narrow.solve.wood_yields = true;
  narrow.solve.cycles = 1;
  constexpr double factor = 1.9;
  const auto widened = [&](double string_factor)
  {
    Case wide = narrow;
    for (double &width : wide.bow.upper.width.value)
      width *= factor;
    wide.bow.string.stiffness *= string_factor;
    return StoredRun{wide, run_to_the_end(wide)};
  };
  const StoredRun wide = widened(factor), same_string = widened(1.);
  const auto runs = compared({wide, {narrow, run_to_the_end(narrow)}}, {"wide", "narrow"}, true);
  CheckTable table("A board bow of 1.9 times the width against the narrow one compared at its weight",
                   "exact: force per width, and the string's, are the same");
  table.relative("width factor [1]", runs[1].width_factor, factor, 1e-6);
  for (const ComparedQuantity &quantity : compared_quantities(runs))
    table.absolute(quantity.name + " [SI], over the wide bow's", quantity.values[1] / quantity.values[0], 1., 1e-5);
  table.note("set with the same string, over that with the stiffer [1]",
             same_string.results.let_down.set_upper / wide.results.let_down.set_upper);
}
