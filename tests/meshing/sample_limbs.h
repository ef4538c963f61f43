#pragma once

#include "meshing/shape/limb_description.h"

#include <initializer_list>
#include <utility>

namespace limbwright::sample
{
inline constexpr double inch = 0.0254;
inline constexpr double degree = 3.14159265358979323846 / 180.;

using Rows = std::initializer_list<std::pair<double, double>>;

/// A table with stations in inches from the limb's root and values in the given unit.
inline StationTable table(const double root, const double unit, const Rows rows)
{
  StationTable result;
  for (const auto &[s, value] : rows)
  {
    result.station.push_back(root + s * inch);
    result.value.push_back(value * unit);
  }
  return result;
}

inline LaminationDescription lamination(const char *name, const StationTable &thickness, const double start, const double end)
{
  LaminationDescription result;
  result.name = name;
  result.material = "wood";
  result.thickness = thickness;
  result.start = start;
  result.end = end;
  return result;
}

/// A straight strip of the given laminations, each running its whole length; every glue line equally thick. [m]
inline LimbDescription strip(const double length, const double width, const std::initializer_list<double> thickness,
                             const double glue)
{
  LimbDescription limb;
  limb.tip_station = length;
  limb.width = StationTable::constant(width);
  for (const double t : thickness)
    limb.laminations.push_back(lamination("layer", StationTable::constant(t), 0., length));
  limb.glue.assign(thickness.size() - 1, {"epoxy", glue, 0.});
  limb.nock.station = length;
  return limb;
}

/// Bamboo on a hardwood belly, with reflex toward the tip; one glue line.
inline LimbDescription bamboo_backed()
{
  LimbDescription limb;
  const double root = 5.5 * inch, tip = root + 28. * inch;
  limb.root_station = root;
  limb.tip_station = tip;
  limb.root_back_x = 1.76 * inch;
  limb.root_back_y = root;
  limb.profile.lean = table(root, degree, {{0., 0.}, {5., 0.}, {28., 7.5}});
  limb.width = table(root, inch, {{0., 1.31}, {13., 1.22}, {21., 0.88}, {28., 0.42}});
  limb.laminations = {lamination("belly", table(root, inch, {{0., 0.366}, {13., 0.316}, {22., 0.266}, {28., 0.276}}), root, tip),
                      lamination("back", table(root, inch, {{0., 0.115}, {28., 0.075}}), root, tip)};
  limb.glue = {{"epoxy", 0.1e-3, 0.}};
  limb.nock.station = tip - 0.5 * inch;
  return limb;
}

/// Maple cores between glass, with a power lamination that ends at about 6.5 in and a tip wedge that begins at about 16.1 in.
inline LimbDescription glass_longbow()
{
  LimbDescription limb;
  const double root = 8. * inch, tip = root + 22.5 * inch;
  limb.root_station = root;
  limb.tip_station = tip;
  limb.root_back_x = 1.75 * inch;
  limb.root_back_y = root;
  limb.profile.lean = table(root, degree, {{0., -6.}, {5., -4.5}, {13., 3.}, {22.5, 11.}});
  limb.width = table(root, inch, {{0., 1.4}, {9., 1.3}, {22.5, 0.52}});
  limb.laminations = {lamination("belly glass", table(root, inch, {{0., 0.036}}), root, tip),
                      lamination("belly-side maple", table(root, inch, {{0., 0.085}, {22.5, 0.049}}), root, tip),
                      lamination("power lamination", table(root, inch, {{0., 0.06}, {7., 0.001}}), root, root + 7. * inch),
                      lamination("tip wedge", table(root, inch, {{15.5, 0.001}, {22.5, 0.045}}), root + 15.5 * inch, tip),
                      lamination("parallel maple", table(root, inch, {{0., 0.04}}), root, tip),
                      lamination("back-side maple", table(root, inch, {{0., 0.08}, {22.5, 0.0485}}), root, tip),
                      lamination("back glass", table(root, inch, {{0., 0.036}}), root, tip)};
  limb.glue.assign(6, {"epoxy", 0.1e-3, 0.});
  limb.nock.station = tip;
  return limb;
}

/// Maple under glass, strongly recurved, with a tip wedge.
inline LimbDescription recurve()
{
  LimbDescription limb;
  const double root = 9. * inch, tip = root + 21. * inch;
  limb.root_station = root;
  limb.tip_station = tip;
  limb.root_back_x = 1.75 * inch;
  limb.root_back_y = root;
  limb.profile.lean = table(root, degree, {{0., -9.}, {5., -6.}, {11., 2.}, {14., 14.}, {17., 42.}, {21., 80.}});
  limb.width = table(root, inch, {{0., 1.8}, {7., 1.7}, {16., 1.05}, {21., 0.75}});
  limb.laminations = {lamination("belly glass", table(root, inch, {{0., 0.04}}), root, tip),
                      lamination("belly-side maple", table(root, inch, {{0., 0.0715}, {21., 0.0253}}), root, tip),
                      lamination("tip wedge", table(root, inch, {{13., 0.001}, {21., 0.06}}), root + 13. * inch, tip),
                      lamination("back-side maple", table(root, inch, {{0., 0.0715}, {21., 0.0253}}), root, tip),
                      lamination("back glass", table(root, inch, {{0., 0.04}}), root, tip)};
  limb.glue.assign(4, {"epoxy", 0.1e-3, 0.});
  limb.nock.station = tip - 0.4 * inch;
  return limb;
}
} // namespace limbwright::sample
