#include "meshing/shape/weak_zones.h"

#include <algorithm>
#include <complex>
#include <numbers>

namespace limbwright
{
namespace
{
constexpr double right_angle = 0.5 * std::numbers::pi;

// The section of a knot in the plane in which it is round: the place from its middle, x along the grain, y across it, and the
// half axes there. No half axes where the knot has none.
struct KnotSection
{
  double x = 0., y = 0., a = 0., b = 0.;
  bool inside() const { return a > 0. && b > 0. && (x / a) * (x / a) + (y / b) * (y / b) < 1.; }
};

KnotSection section_of(const Knot &knot, const LayerPlace &place, const LayerSize &size)
{
  KnotSection section{place.station - knot.station, place.across - knot.off_centre, knot.half_along(), knot.half_across()};
  if (knot.direction == KnotDirection::through)
    return section;
  section.y = knot.depth - place.below_back; // toward the back
  if (knot.direction == KnotDirection::across)
  {
    if (knot.length > 0. && std::abs(place.across - knot.off_centre) > 0.5 * knot.length)
      section.a = section.b = 0.;
    return section;
  }
  // A spike grows from its point to the edge on whose side of the point more of the width lies: the far one.
  const double edge = knot.off_centre > 0. ? -0.5 * size.width : 0.5 * size.width;
  const double grown = std::clamp((place.across - knot.off_centre) / (edge - knot.off_centre), 0., 1.);
  section.a *= grown;
  section.b *= grown;
  return section;
}

GrainTurn turn_by(const Knot &knot, const LayerPlace &place, const LayerSize &size)
{
  if (!knot.grain_flows || std::abs(place.station - knot.station) > knot.reach())
    return {};
  const KnotSection section = section_of(knot, place, size);
  if (section.a <= 0. || section.b <= 0.)
    return {};
  const double angle = stream_angle(section.x, section.y, section.a, section.b);
  if (knot.direction != KnotDirection::through)
    return {angle, 0.};
  const double r2 = section.x * section.x + section.y * section.y;
  // Toward the back on the way to the knot, down again after it.
  const double dive = -knot.dive * section.x / std::sqrt(r2) * std::min(1., section.a * section.b / r2);
  return {dive, angle};
}

void sort_and_clip(std::vector<double> &cuts, const double half)
{
  for (double &cut : cuts)
    cut = std::clamp(cut, -half, half);
  cuts.insert(cuts.end(), {-half, half});
  std::sort(cuts.begin(), cuts.end());
  cuts.erase(std::unique(cuts.begin(), cuts.end(), [half](double a, double b) { return b - a < 1e-9 * half; }), cuts.end());
  cuts.back() = half;
}
} // namespace

double stream_angle(const double x, const double y, const double a, const double b)
{
  if ((x / a) * (x / a) + (y / b) * (y / b) < 1.)
    return 0.;
  // z = t + c^2 / (4 t) takes the circle of radius R = (a + b)/2 to the ellipse; the stream past the circle is t + R^2 / t.
  using Complex = std::complex<double>;
  const Complex z(x, y);
  const double c2 = a * a - b * b, R2 = 0.25 * (a + b) * (a + b);
  const Complex root = std::sqrt(z - std::sqrt(Complex(c2))) * std::sqrt(z + std::sqrt(Complex(c2)));
  Complex t = 0.5 * (z + root);
  if (std::norm(t) < R2) // the other branch lies outside
    t = 0.5 * (z - root);
  const Complex velocity = (1. - R2 / (t * t)) / (1. - c2 / (4. * t * t)); // its conjugate is the direction
  // Where the stream comes to rest, before and behind the ellipse, it has no direction; the grain ends on the knot there.
  if (std::norm(velocity) < 1e-20)
    return 0.;
  return std::atan2(-velocity.imag(), velocity.real());
}

GrainTurn grain_turn(const WeakZones &zones, const std::size_t lamination, const LayerPlace &place, const LayerSize &size)
{
  GrainTurn sum;
  if (zones.told_sound)
    return sum;
  for (const GrainRegion &region : zones.regions)
    if (region.lamination == lamination && place.station >= region.from && place.station <= region.to)
      sum.dive += region.slope;
  if (const int inside = knot_at(zones, lamination, place, size); inside >= 0)
  {
    const Knot &knot = zones.knots[static_cast<std::size_t>(inside)];
    if (knot.state != KnotState::sound)
      return {};
    return knot.direction == KnotDirection::through ? GrainTurn{right_angle, 0.} : GrainTurn{0., right_angle};
  }
  for (const Knot &knot : zones.knots)
    if (knot.lamination == lamination)
    {
      const GrainTurn more = turn_by(knot, place, size);
      sum.dive += more.dive;
      sum.turn += more.turn;
    }
  return sum;
}

int knot_at(const WeakZones &zones, const std::size_t lamination, const LayerPlace &place, const LayerSize &size)
{
  if (zones.told_sound)
    return -1;
  for (std::size_t k = 0; k < zones.knots.size(); ++k)
    if (zones.knots[k].lamination == lamination && section_of(zones.knots[k], place, size).inside())
      return static_cast<int>(k);
  return -1;
}

bool weak_at(const WeakZones &zones, const std::size_t lamination, const double station)
{
  if (zones.told_sound)
    return false;
  return std::any_of(zones.regions.begin(), zones.regions.end(),
                     [&](const GrainRegion &region)
                     { return region.lamination == lamination && station >= region.from && station <= region.to; }) ||
         std::any_of(zones.knots.begin(), zones.knots.end(),
                     [&](const Knot &knot)
                     { return knot.lamination == lamination && std::abs(station - knot.station) <= knot.reach(); });
}

std::vector<WidthStrip> width_strips(const WeakZones &zones, const std::size_t lamination, const double station,
                                     const double below_back, const LayerSize &size)
{
  if (!weak_at(zones, lamination, station))
    return {WidthStrip{}};
  const double half = 0.5 * size.width;
  std::vector<double> cuts;
  for (const Knot &knot : zones.knots)
  {
    if (knot.lamination != lamination || std::abs(station - knot.station) > knot.reach())
      continue;
    if (knot.direction == KnotDirection::through)
    {
      // The chord is all one; the wood beside it is cut finer toward it.
      const double x = (station - knot.station) / knot.half_along();
      const double chord = knot.half_across() * std::sqrt(std::max(0., 1. - x * x));
      for (const double sign : {-1., 1.})
        for (const double away : {0., 0.125, 0.25, 0.5, 0.75, 1., 1.5, 2., 3., 5.})
          cuts.push_back(knot.off_centre + sign * (chord + away * knot.half_across()));
    }
    else if (knot.direction == KnotDirection::across && knot.length > 0.)
      cuts.insert(cuts.end(), {knot.off_centre - 0.5 * knot.length, knot.off_centre + 0.5 * knot.length});
    else if (knot.direction == KnotDirection::spike)
      for (int i = 0; i < 12; ++i)
        cuts.push_back(knot.off_centre + i / 12. * ((knot.off_centre > 0. ? -half : half) - knot.off_centre));
  }
  sort_and_clip(cuts, half);
  std::vector<WidthStrip> strips;
  for (std::size_t i = 0; i + 1 < cuts.size(); ++i)
  {
    const LayerPlace middle{station, below_back, 0.5 * (cuts[i] + cuts[i + 1])};
    strips.push_back({(cuts[i + 1] - cuts[i]) / size.width, grain_turn(zones, lamination, middle, size),
                      knot_at(zones, lamination, middle, size), middle.across});
  }
  return strips;
}
} // namespace limbwright
