#include "report/made_up_bow.h"

#include "cases/reader/case_reader.h"
#include "cases/reader/embedded_files.h"
#include "cases/report/output_units.h"
#include "cases/report/text_layout.h"
#include "cases/study/case_edit.h"
#include "cases/study/grain_around_knot.h"
#include "cases/study/margin_map.h"
#include "cases/study/section_bending.h"
#include "materials/law/failure_criteria.h"
#include "meshing/shape/weak_zones.h"

#include <catch2/catch.hpp>

#include <algorithm>

using namespace limbwright;

namespace
{
Case coarse(const std::string &name, const std::string &wood)
{
  const auto &all = embedded_examples();
  const std::string text = std::find_if(all.begin(), all.end(), [&](const auto &one) { return one.name == name; })->text;
  ReadOutcome outcome =
      read_case_text(with_value(with_value(text, "mesh.column_length", "1 in").text, "solve.wood", wood).text, name + ".toml");
  REQUIRE(outcome.read);
  return *outcome.read;
}
} // namespace

TEST_CASE("A section that loses width strains more, and more still where it yields", "[quick]")
{
  const Case bow = coarse("hickory-heavy-flatbow", "yields");
  const LimbShape shape(bow.bow.upper);
  const double station = 15. * inch;
  const BendingSection elastic(shape, bow.bow.materials, false, station), yielding(shape, bow.bow.materials, true, station);
  CHECK(elastic.strains_more(2., 0, 0.) == 1.);
  // A limb of one piece: width is stiffness.
  CHECK(elastic.strains_more(2., 0, 0.2) == Approx(1. / 0.8).epsilon(1e-4));
  CHECK(yielding.strains_more(0.01, 0, 0.2) == Approx(1. / 0.8).epsilon(1e-4)); // too little to yield
  CHECK(yielding.strains_more(1.2, 0, 0.2) > 1.28);
  CHECK(std::isinf(yielding.strains_more(1.2, 0, 0.9)));
  CHECK(knot_index(0.4, 0.2, 1.25) == Approx(0.625));
  // Of a lamination between glass little depends on it.
  const Case glass = coarse("maple-glass-thin", "elastic");
  const BendingSection backed(LimbShape(glass.bow.upper), glass.bow.materials, false, station);
  CHECK(backed.strains_more(2., 5, 0.5) < 1.02);
}

TEST_CASE("An open patch frees more the longer it is, and buckles at Euler's length", "[quick]")
{
  PartedStack parts;
  parts.slip = 2e-7;
  parts.held_over = 5e-3;
  CHECK(patch_sliding_energy(parts, 1e6, 0.) == Approx(0.5 * 2e-7 * 1e12 * 25e-6));
  CHECK(patch_sliding_energy(parts, 1e6, 10e-3) == Approx(4. * patch_sliding_energy(parts, 1e6, 0.)));
  constexpr double t = 1e-3, shortening = 0.01;
  const double euler = M_PI * t / std::sqrt(3. * shortening); // of a strip with its ends held
  CHECK(std::isinf(patch_opening_energy(t * t / 12., 3., shortening, 0.1e-3, 0., 1.001 * euler)));
  const double just_before = patch_opening_energy(t * t / 12., 3., shortening, 0.1e-3, 0., 0.98 * euler);
  CHECK(std::isfinite(just_before));
  CHECK(just_before > 50. * patch_opening_energy(t * t / 12., 3., shortening, 0.1e-3, 0., 0.7 * euler));
  CHECK(patch_opening_energy(t * t / 12., 3., -shortening, 0.1e-3, 0., 1.1 * euler) == 0.);
  CHECK(patch_opening_energy(t * t / 12., 3., shortening, 0.1e-3, 50., 0.98 * euler) == 0.); // held down by the limb's bend
}

TEST_CASE("On a knot's rim the grain takes every direction, whatever its shape", "[quick]")
{
  for (const auto &[a, b] : {std::pair{1., 1.}, {3., 1.}, {0.4, 1.}})
  {
    // From the side of the ellipse toward its front: from along the limb to across it, without a gap.
    double before = 0.;
    constexpr int n = 2000;
    for (int i = 1; i < n && before < 85. * degree; ++i)
    {
      const double t = 0.5 * M_PI * i / n;
      const double angle = std::abs(stream_angle(1.0001 * a * std::sin(t), 1.0001 * b * std::cos(t), a, b));
      CHECK(angle - before < 3. * degree);
      before = std::max(before, angle);
    }
    CHECK(before >= 85. * degree);
  }
}

TEST_CASE("Grain around a knot breaks sooner than straight grain in a stretched face, and takes stiffness from beside it",
          "[quick]")
{
  const Case bow = coarse("ash-hickory-board", "elastic");
  const Material &hickory = bow.bow.materials.at(bow.bow.upper.laminations[1].material);
  const OrthotropicConstants &c = hickory.constants;
  FaceState face;
  face.face = Face::back;
  face.strain_along = 0.004;
  face.stress_along = 0.004 * c.E_L;
  // A strip that is a bar turned in the plan view, strained as the face is; flat-sawn, so T lies across the width.
  const Strengths &s = hickory.strengths;
  double worst = 0.;
  for (double turn = 0.; turn < M_PI / 2.; turn += 1e-3)
  {
    const double along = 0.004 * off_axis_modulus(c.E_L, c.E_T, c.G_LT, c.nu_LT, turn), co = std::cos(turn), si = std::sin(turn);
    worst = std::max(worst, norris_index({co * co * along, si * si * along, co * si * along},
                                         {s.tension_L, s.compression_L, s.tension_T, s.compression_T, s.shear_LT}));
  }
  const double around = index_around_knot(hickory, RingOrientation::flat, std::nullopt, face);
  // The strip's stress through its thickness, for its Poisson's ratio is not the straight wood's, puts little on it.
  CHECK(around == Approx(worst).epsilon(0.03));
  CHECK(around > 1.3 * run_out_index(hickory, RingOrientation::flat, face, 0.));

  CHECK(stiffness_taken(c, RingOrientation::flat, 0.) == Approx(0.).margin(1e-12));
  double before = 0.;
  for (const double share : {0.05, 0.1, 0.2, 0.4, 0.8})
  {
    const double taken = stiffness_taken(c, RingOrientation::flat, share);
    CHECK(taken > share);
    CHECK(taken < 1.);
    CHECK(taken > before);
    before = taken;
  }
}

TEST_CASE("Run-out brings the index of wood up, and a map gives less where it bears more", "[quick]")
{
  const Case bow = coarse("ash-hickory-board", "elastic");
  FaceState face;
  face.face = Face::back;
  face.stress_along = 60e6;
  face.strain_along = 0.004;
  const Material &hickory = bow.bow.materials.at(bow.bow.upper.laminations[1].material);
  const double straight = run_out_index(hickory, RingOrientation::flat, face, 0.);
  double before = straight;
  for (const double slope : {0.05, 0.1, 0.15, 0.2})
  {
    const double index = run_out_index(hickory, RingOrientation::flat, face, slope);
    CHECK(index > before);
    before = index;
  }
  const MarginMap map = margin_map(bow, 0.8, nullptr), strict = margin_map(bow, 0.7, nullptr);
  REQUIRE(map.complete);
  REQUIRE(map.inches.size() == strict.inches.size());
  bool any = false;
  for (std::size_t i = 0; i < map.inches.size(); ++i)
  {
    const InchMargin &wide = map.inches[i], &tight = strict.inches[i];
    if (wide.lamination >= 0)
    {
      CHECK(tight.knot_share <= wide.knot_share);
      CHECK(tight.hole_share <= wide.hole_share);
      CHECK(wide.knot_share <= wide.hole_share);
      CHECK_FALSE(tight.run_out > wide.run_out);
      any = any || tight.run_out < wide.run_out;
    }
    else
    {
      CHECK_FALSE(tight.patch > wide.patch);
      CHECK(tight.bond > wide.bond);
    }
  }
  CHECK(any);
  CHECK(csv(margin_table(bow, map)).find("open_patch_in") != std::string::npos);
  const std::string words = margin_words(bow, map);
  CHECK(words.find("1 in ") != std::string::npos);
  CHECK(words.find("belly | back") != std::string::npos);
}

TEST_CASE("Margins name every pair of laminations that touch, and where they do", "[quick]")
{
  Case bow = made_up::bow(); // a power lamination on the back of the core tapers to nothing at 20 in
  MarginMap map;
  map.complete = true;
  map.level = 0.7;
  const auto add = [&](int line, int back, double station, double index)
  {
    InchMargin margin;
    margin.glue_line = line;
    margin.back_lamination = back;
    margin.station = station * inch;
    margin.index = margin.bond = index;
    map.inches.push_back(margin);
  };
  add(0, 1, 12., 0.11);
  add(1, 2, 12., 0.22);
  add(1, 3, 24., 0.33);
  const std::string text = unwrapped(margin_words(bow, map));
  CHECK_THAT(text, Catch::Contains("belly glass | core 8.0 to 32.0 11 %"));
  CHECK_THAT(text, Catch::Contains("core | power lam 8.0 to 19.") && Catch::Contains("core | back glass 19."));
  CHECK_THAT(text, Catch::Contains(" to 32.0 33 %"));
  CHECK_THAT(text, Catch::Contains("power lam | back glass 8.0 to 19.") && Catch::Contains("all of it is near a layer's end"));
}
