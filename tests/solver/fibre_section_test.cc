#include "solver/failure/fibre_section.h"

#include "support/check_table.h"

#include <algorithm>
#include <cmath>
#include <functional>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double E = 10e9, width = 0.03, height = 0.012, radius = 0.25; // Pa, m

// Elastic fibres of a section whose width is a function of the depth, with points from belly to back.
FibreSection section(
    const std::function<double(double depth)> &width_at, double curvature,
    const std::function<double(double depth)> &slope_at = [](double) { return 0.; })
{
  constexpr int n_fibres = 200, n_points = 13;
  Fibre fibre;
  fibre.modulus = E;
  fibre.height = height / n_fibres;
  std::vector<Fibre> fibres, points;
  std::vector<double> widths;
  for (int i = 0; i < n_fibres; ++i)
  {
    fibre.depth = height - (i + 0.5) * fibre.height;
    fibre.area = width_at(fibre.depth) * fibre.height;
    fibre.length_ratio = 1. + curvature * fibre.depth;
    fibre.slope = slope_at(fibre.depth);
    fibre.growth = (slope_at(0.) - slope_at(height)) / height;
    fibres.push_back(fibre);
  }
  fibre.area = fibre.height = 0.;
  for (int i = 0; i < n_points; ++i)
  {
    fibre.depth = height * (1. - static_cast<double>(i) / (n_points - 1));
    fibre.length_ratio = 1. + curvature * fibre.depth;
    fibre.slope = slope_at(fibre.depth);
    points.push_back(fibre);
    widths.push_back(width_at(fibre.depth));
  }
  return {fibres, points, widths, curvature, false};
}

std::vector<SectionStress> stresses(const FibreSection &section, const SectionForces &forces)
{
  const std::vector<FibreSection::Group> groups{{0, 0, forces}};
  const FibreSectionState state = section.solve(groups, {});
  REQUIRE(state.found);
  return section.stresses(groups, state);
}

double greatest(const std::vector<SectionStress> &list, double SectionStress::*what)
{
  double most = 0.;
  for (const SectionStress &stress : list)
    most = std::max(most, std::abs(stress.*what));
  return most;
}
} // namespace

TEST_CASE("A section's stresses are those of curved and of sheared beams", "[quick]")
{
  const auto even = [](double) { return width; };
  constexpr double M = 5., V = 200., N = -300.;
  CheckTable table("Bar of 30 x 12 mm", "radial stress 3 M / (2 R b h) (Wilson 1939, USDA Tech. Bull. 691); shear 1.5 V / A "
                                        "(Jourawski); stress N / A + M / W");
  // Straightened by the moment: pulled open. R is that of the middle.
  const auto curved = stresses(section(even, 1. / radius), {0., -M, 0., 0.});
  table.relative("radial stress in the middle [Pa]", greatest(curved, &SectionStress::through),
                 1.5 * M / ((radius + 0.5 * height) * width * height), 0.01);
  table.absolute("at the belly over that [1]", curved.front().through / greatest(curved, &SectionStress::through), 0., 1e-6);
  table.absolute("at the back over that [1]", curved.back().through / greatest(curved, &SectionStress::through), 0., 0.01);
  const auto sheared = stresses(section(even, 0.), {0., 0., 0., V});
  table.relative("shear in the middle [Pa]", greatest(sheared, &SectionStress::shear), 1.5 * V / (width * height), 1e-3);
  const auto straight = stresses(section(even, 0.), {N, M + 0.5 * height * N, 0., 0.});
  table.relative("stress at the belly [Pa]", straight.front().along, N / (width * height) + 6. * M / (width * height * height),
                 0.005);
}

TEST_CASE("A wedge loaded at its edge is stressed along its rays alone", "[quick]")
{
  // sigma_r = 2 P sin(theta) / (r b (2 alpha - sin(2 alpha))), theta from the axis (Michell 1900; Timoshenko and Goodier 1970,
  // art. 38), the edge a distance away and pulled toward the back.
  constexpr double away = 0.06, P = 40.;
  const double alpha = std::atan(0.5 * height / away);
  const FibreSection wedge =
      section([](double) { return width; }, 0., [](double depth) { return (depth - 0.5 * height) / away; });
  const auto found = stresses(wedge, {0., P * away, 0., P});
  CheckTable table("Wedge of 12 mm, 60 mm from its edge", "Michell 1900");
  for (const std::size_t p : {std::size_t(0), std::size_t(3), std::size_t(9)})
  {
    const double depth = wedge.points()[p].depth, theta = std::atan((depth - 0.5 * height) / away);
    const double ray = 2. * P * std::sin(theta) / (away / std::cos(theta) * width * (2. * alpha - std::sin(2. * alpha)));
    table.relative("stress along [Pa]", found[p].along, ray * std::pow(std::cos(theta), 2), 0.02);
    table.relative("shear [Pa]", found[p].shear, ray * std::sin(theta) * std::cos(theta), 0.02);
    // The fibres' forces turn with the bent curvature too.
    table.absolute("through over along [1]", found[p].through / found[p].along, std::pow(std::tan(theta), 2), 5e-4);
  }
  table.absolute("shear in the middle over that at the belly [1]", found[6].shear / found[0].shear, 0., 1e-2);
}

TEST_CASE("What shears two strips on each other is what the force of one of them changes by", "[quick]")
{
  // A strip of even thickness on the back of a stiffer one that thins out toward the tip, at places beside each other; the moment
  // falls by the shear force, and a force along the limb stays.
  constexpr double thin = 4e-3, V = 60., N = -500., M = 8., thinning = 0.08, aside = 1e-4;
  const auto at = [](double x) // [m] toward the tip
  {
    const double thick = 6e-3 - thinning * x;
    std::vector<Fibre> fibres;
    constexpr int n = 200;
    for (int i = 0; i < n; ++i)
    {
      Fibre fibre;
      fibre.lamination = i < n / 2 ? 0 : 1;
      const double t = (fibre.lamination == 0 ? thick : thin), from = fibre.lamination == 0 ? thin : 0.;
      const double share = (i % (n / 2) + 0.5) / (n / 2);
      fibre.height = t / (n / 2);
      fibre.depth = from + t * (1. - share);
      fibre.modulus = fibre.lamination == 0 ? 2. * E : E;
      fibre.area = width * fibre.height;
      fibre.slope = fibre.lamination == 0 ? thinning * (1. - share) : 0.;
      fibre.growth = fibre.lamination == 0 ? -thinning / thick : 0.;
      fibres.push_back(fibre);
    }
    Fibre between;
    between.lamination = 1;
    between.depth = thin;
    between.modulus = E;
    return FibreSection(fibres, {between}, {width}, 0., false);
  };
  const auto of_first = [&](double x)
  {
    const FibreSection section = at(x);
    const SectionForces forces{N, M - V * x, 0., V};
    const FibreSectionState state = section.solve({{0, 1, forces}}, {});
    REQUIRE(state.found);
    double force = 0.;
    const double thick = 6e-3 - thinning * x;
    for (int i = 0; i < 1000; ++i)
    {
      const double depth = thin + thick * (i + 0.5) / 1000.;
      force += 2. * E * state.bending[0].strain(depth, 0., 1.) * state.bending[0].stretch(depth, 0., 1.) * width * thick / 1000.;
    }
    return force;
  };
  const FibreSection section = at(0.);
  const std::vector<FibreSection::Group> groups{{0, 1, {N, M, 0., V}}};
  const auto found = section.stresses(groups, section.solve(groups, {}));
  CheckTable table("Two strips, one of which thins out by 8 %", "balance of the thinning strip between two sections");
  table.relative("shear between them [Pa]", found[0].shear, -(of_first(aside) - of_first(-aside)) / (2. * aside) / width, 0.01);
}

TEST_CASE("Toward the top of a crown, where a section has no width, its stresses stay what they are below", "[quick]")
{
  // An arc over the upper half; a push along it and a shear force, as in a limb.
  const auto crowned = [](double depth) { return width * std::clamp(std::sqrt(std::max(depth, 0.) / (0.5 * height)), 0.01, 1.); };
  const auto list = stresses(section(crowned, 0.5 / radius), {-300., -6., 0., 200.});
  const double mean_shear = 200. / (width * height);
  CHECK(greatest(list, &SectionStress::shear) < 3. * mean_shear);
  CHECK(greatest(list, &SectionStress::through) < 1e6);
  CHECK(std::abs(list.back().through) < 0.3 * greatest(list, &SectionStress::through));
}
