#include "meshing/shape/limb_shape.h"
#include "meshing/shape/mending.h"
#include "meshing/shape/splits.h"

#include "sample_limbs.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <cmath>

using namespace limbwright;

namespace
{
constexpr double inch = sample::inch;

// In the belly of the bamboo-backed limb, at depths that its taper has room for.
Split in_belly(double from, double to, double depth)
{
  Split split;
  split.lamination = 0;
  split.patch.from = from * inch;
  split.patch.to = to * inch;
  split.depth = depth * inch;
  return split;
}

LimbDescription self_bow()
{
  LimbDescription limb = sample::bamboo_backed();
  limb.laminations.erase(limb.laminations.begin() + 1);
  limb.glue.clear();
  limb.laminations[0].shrinkage = 2e-4;
  limb.laminations[0].bent_to_form = true;
  limb.laminations[0].run_out = StationTable::constant(0.02);
  return limb;
}

// Largest difference of two limbs' outer faces, grain, and prestrain at some depths, away from a station. [m], [rad], [1]
struct Differences
{
  double faces = 0., grain = 0., prestrain = 0.;
};

Differences between(const LimbShape &whole, const LimbShape &divided, std::size_t lamination, double away_from)
{
  Differences most;
  const auto grow = [](double &value, double other) { value = std::max(value, std::abs(other)); };
  for (int i = 0; i <= 400; ++i)
  {
    const double s = whole.description().root_station + whole.length() * i / 400.;
    if (std::abs(s - away_from) < 2e-5)
      continue;
    grow(most.faces, whole.outer_back_depth(s) - divided.outer_back_depth(s));
    grow(most.faces, whole.outer_belly_depth(s) - divided.outer_belly_depth(s));
    for (std::size_t piece = lamination; piece <= divided.last_piece(lamination); ++piece)
      if (divided.present(piece, s))
      {
        grow(most.grain, whole.grain_lean(lamination, s) - divided.grain_lean(piece, s));
        const double middle = divided.back_face_depth(piece, s) + 0.5 * divided.thickness(piece, s);
        grow(most.prestrain, whole.prestrain(lamination, s, middle) - divided.prestrain(piece, s, middle));
      }
  }
  return most;
}
} // namespace

TEST_CASE("A split leaves faces, grain, prestrain and mass of its lamination as they were", "[quick]")
{
  const LimbShape whole(sample::bamboo_backed());
  Split split = in_belly(12., 16., 0.12);
  split.slope = -0.02;
  const LimbShape divided(limbwright::divided(sample::bamboo_backed(), {split}));
  REQUIRE(divided.n_laminations() == 3);
  const LimbDescription &limb = divided.description();
  CHECK(limb.laminations[0].name == "belly, under the split");
  CHECK(limb.laminations[1].name == "belly, over the split");
  CHECK(limb.glue[0].of_split);
  CHECK_FALSE(limb.glue[1].of_split);
  CHECK(divided.first_piece(1) == 0);
  CHECK(divided.last_piece(0) == 1);
  const Differences differences = between(whole, divided, 0, -1.);
  CHECK(differences.faces < 1e-15);
  CHECK(differences.grain < 1e-9); // of a difference quotient
  CHECK(differences.prestrain == 0.);
  CHECK(divided.mass({700., 700., 900.}, {0., 1100.}) == Approx(whole.mass({700., 900.}, {1100.})).epsilon(1e-9));
  // Straight against the back between its ends, its depth in the middle; beyond at a constant share of the thickness.
  const auto below = [&](double s) { return divided.belly_face_depth(1, s) - divided.back_face_depth(1, s); };
  CHECK(below(14. * inch) == Approx(0.12 * inch).epsilon(1e-12));
  CHECK(below(15. * inch) == Approx(0.12 * inch + std::tan(0.02) * inch).epsilon(1e-12));
  CHECK(below(8. * inch) / whole.thickness(0, 8. * inch) ==
        Approx(below(12. * inch) / whole.thickness(0, 12. * inch)).epsilon(1e-12));
}

TEST_CASE("A split leaves a smooth lamination smooth, and as it was", "[quick]")
{
  LimbDescription limb = self_bow();
  limb.laminations[0].thickness.smooth = limb.width.smooth = true;
  const LimbShape whole(limb);
  Split split = in_belly(12., 16., 0.12);
  split.slope = -0.02;
  const LimbShape divided(limbwright::divided(limb, {split}));
  const Differences differences = between(whole, divided, 0, -1.);
  CHECK(differences.faces < 1e-6);
  CHECK(divided.corners().empty());
  CHECK(divided.kinks().size() == whole.kinks().size()); // the pieces' rows are no borders of the mesh
  // Exact where the split ends.
  for (const double s : {12. * inch, 16. * inch})
    CHECK(divided.thickness(0, s) + divided.thickness(1, s) == Approx(whole.thickness(0, s)).epsilon(1e-12));

  for (const SplitExit exit : {SplitExit::back, SplitExit::belly})
  {
    Split splinter = in_belly(12., 15., exit == SplitExit::back ? 0.06 : whole.thickness(0, 12. * inch) / inch - 0.06);
    splinter.comes_out = exit;
    const LimbShape with_splinter(limbwright::divided(limb, {splinter}));
    REQUIRE(with_splinter.lamination_ends().size() == 1);
    CHECK(between(whole, with_splinter, 0, with_splinter.lamination_ends()[0].station).faces < 1e-6);
    CHECK(with_splinter.corners().empty());
  }
}

TEST_CASE("A splinter comes out at a face and leaves the rest of the limb as it was", "[quick]")
{
  const LimbDescription limb = self_bow();
  const LimbShape whole(limb);
  for (const SplitExit exit : {SplitExit::back, SplitExit::belly})
    for (const bool toward_tip : {true, false})
    {
      Split split =
          in_belly(12., 15., exit == SplitExit::back ? 0.06 : whole.thickness(0, (toward_tip ? 12. : 15.) * inch) / inch - 0.06);
      split.comes_out = exit;
      split.toward_tip = toward_tip;
      const LimbShape divided(limbwright::divided(limb, {split}));
      REQUIRE(divided.n_laminations() == 2);
      const std::size_t splinter = exit == SplitExit::back ? 1 : 0;
      // As thick as the feather where the straight line from its root to its point says.
      const double feather = limb.laminations[0].feather, share = feather / (0.06 * inch);
      const double cut = toward_tip ? 15. * inch - share * 3. * inch : 12. * inch + share * 3. * inch;
      INFO("splinter " << splinter << " toward the tip " << toward_tip);
      CHECK((toward_tip ? divided.end(splinter) : divided.start(splinter)) == Approx(cut).epsilon(1e-12));
      CHECK(divided.thickness(splinter, cut) == Approx(feather).epsilon(1e-9));
      CHECK(divided.present(splinter, (toward_tip ? 10. : 17.) * inch));
      CHECK_FALSE(divided.present(splinter, (toward_tip ? 15. : 12.) * inch));
      const Differences differences = between(whole, divided, 0, cut);
      CHECK(differences.faces < 1e-15);
      CHECK(differences.grain < 1e-9);
      CHECK(differences.prestrain < 1e-15);
      CHECK(divided.mass({700., 700.}, {0.}) == Approx(whole.mass({700.}, {})).epsilon(1e-6));
      REQUIRE(divided.lamination_ends().size() == 1);
      CHECK_FALSE(divided.lamination_ends()[0].inner);
    }
}

TEST_CASE("Two splits make three pieces, zones of the lamination stay with it", "[quick]")
{
  LimbDescription limb = sample::bamboo_backed();
  Knot knot;
  knot.lamination = 0;
  knot.station = 14. * inch;
  knot.diameter = 0.2 * inch;
  knot.depth = 0.15 * inch;
  knot.direction = KnotDirection::across;
  limb.weak.knots = {knot};
  GrainRegion of_back;
  of_back.lamination = 1;
  of_back.from = 10. * inch;
  of_back.to = 12. * inch;
  limb.weak.regions = {of_back};
  const LimbShape whole(limb);
  const LimbShape divided(limbwright::divided(limb, {in_belly(12., 16., 0.12), in_belly(10., 20., 0.2)}));
  REQUIRE(divided.n_laminations() == 4);
  CHECK(divided.description().laminations[2].name == "belly, piece 3 of 3");
  CHECK(divided.description().weak.knots[0].lamination == 0);
  CHECK(divided.description().weak.regions[0].lamination == 3);
  const Differences differences = between(whole, divided, 0, -1.);
  CHECK(differences.faces < 1e-15);
  CHECK(differences.grain < 1e-9);
  int inside = 0;
  for (int i = 0; i < 60; ++i)
    for (int j = 0; j < 40; ++j)
    {
      const double s = (13.7 + 0.01 * i) * inch, depth = whole.back_face_depth(0, s) + (j + 0.5) / 40. * whole.thickness(0, s);
      std::size_t piece = 0;
      while (divided.back_face_depth(piece, s) > depth)
        ++piece;
      CHECK(divided.knot_at(piece, s, depth, 0.) == whole.knot_at(0, s, depth, 0.));
      inside += divided.knot_at(piece, s, depth, 0.) == 0;
      CHECK(divided.grain_turn(piece, s, depth, 0.).dive == Approx(whole.grain_turn(0, s, depth, 0.).dive).margin(1e-12));
    }
  CHECK(inside > 100);
}

TEST_CASE("A split that does not fit its lamination is refused", "[quick]")
{
  const LimbDescription limb = sample::bamboo_backed();
  const auto message = [&](const Split &split)
  {
    try
    {
      limbwright::divided(limb, {split});
    }
    catch (const std::invalid_argument &unfit)
    {
      return std::string(unfit.what());
    }
    return std::string();
  };
  using Catch::Contains;
  CHECK_THAT(message(in_belly(12., 16., 0.4)), Contains("is not inside its lamination, which is 0.341 in thick at 12 in"));
  CHECK_THAT(message(in_belly(12., 16., 0.002)), Contains("feather thickness of a face"));
  CHECK_THAT(message(in_belly(2., 16., 0.1)), Contains("which runs from 5.5 in to 33.5 in"));
  CHECK_THAT(message(in_belly(16., 12., 0.1)), Contains("must end closer to the tip"));
  Split out = in_belly(12., 15., 0.06);
  out.comes_out = SplitExit::back;
  CHECK_THAT(message(out), Contains("back covers that face"));
  out.lamination = 1;
  CHECK(message(out).empty());
  Split crossing = in_belly(10., 20., 0.12);
  crossing.slope = 0.05;
  CHECK_THROWS_WITH(limbwright::divided(limb, {in_belly(12., 16., 0.12), crossing}), Contains("crosses another one"));
}

TEST_CASE("A limb is told as it was found and as if it were sound", "[quick]")
{
  LimbDescription limb = sample::bamboo_backed();
  Split split = in_belly(12., 16., 0.12);
  split.patch.gap = 0.2e-3;
  split.patch.strength = 0.6;
  split.patch.filling = "epoxy";
  limb = divided(limb, {split});
  limb.wraps = {{12. * inch, 16. * inch, 0.2e-3, 9e9, 100., 80e6}};
  CHECK(mended(limb));
  const LimbDescription found = unmended(limb), whole = sound(limb);
  CHECK_FALSE(mended(found));
  CHECK_FALSE(mended(whole));
  CHECK(found.glue[0].patches[0].open());
  CHECK(found.glue[0].patches[0].gap == 0.2e-3);
  CHECK(whole.glue[0].patches[0].holding() == 1.);
  CHECK(whole.glue[0].patches[0].gap == 0.);
  CHECK(whole.weak.told_sound);
  for (const LimbDescription *one : {&found, &whole})
  {
    CHECK(one->wraps[0].modulus == 0.);
    CHECK(one->wraps[0].from == limb.wraps[0].from);
  }
  // A weak glue line stays as it was found: it was not mended.
  LimbDescription starved = sample::bamboo_backed();
  starved.glue[0].patches = {{12. * inch, 16. * inch, 0.5}};
  CHECK_FALSE(mended(starved));
  CHECK(unmended(starved).glue[0].patches[0].strength == 0.5);
}
