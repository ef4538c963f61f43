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
FibreSection section(const std::function<double(double depth)> &width_at, double curvature)
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
    fibres.push_back(fibre);
  }
  fibre.area = fibre.height = 0.;
  for (int i = 0; i < n_points; ++i)
  {
    fibre.depth = height * (1. - static_cast<double>(i) / (n_points - 1));
    fibre.length_ratio = 1. + curvature * fibre.depth;
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
