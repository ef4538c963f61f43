#include "solver/stages/bow_string.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
// Brings forces and moments to the size of the lengths among the constraints, so that one tolerance serves.
constexpr double force_scale = 1e-3; // [m/N], [m/(N m)]
constexpr int first_contact = 2;     // load points: nock, director, then what the string may lie on

Eigen::Vector3d point(const Eigen::VectorXd &values, int number)
{
  return values.segment<3>(3 * number);
}

// In the side view.
double cross(const Eigen::Vector3d &a, const Eigen::Vector3d &b)
{
  return a.x() * b.y() - a.y() * b.x();
}

// Of a string's direction, toward the target [rad].
double angle_to_handle(const Eigen::Vector3d &direction)
{
  return std::atan2(direction.x(), direction.y());
}

// Second derivative of the length of a straight piece by one of its ends.
Eigen::Matrix3d stiffness_of_piece(const Eigen::Vector3d &direction, double length)
{
  return (Eigen::Matrix3d::Identity() - direction * direction.transpose()) / length;
}

std::vector<SectionFunctional> load_points(const LimbModel &solid, const StringSeat &seat,
                                           const std::vector<ContactPoint> &contact)
{
  std::vector<SectionFunctional> points = {section_point(solid, seat.station, seat.depth, seat.across),
                                           section_director(solid, seat.station)};
  for (const ContactPoint &point : contact)
    points.push_back(point.place);
  return points;
}

SectionFunctional node_at_depth(const LimbModel &solid, double station, double depth)
{
  int nearest = -1;
  const auto distance = [&](int node) { return std::hypot(solid.nodes()[node].depth - depth, solid.nodes()[node].place[2]); };
  for (const auto &[node, share] : solid.section_shares(station))
    if (nearest < 0 || distance(node) < distance(nearest))
      nearest = node;
  return {{nearest}, {1.}, Eigen::Map<const Eigen::Vector3d>(solid.nodes()[nearest].place.data())};
}
// A string can only come to lie on a limb that is swept toward the target near its nock; then on its outer part.
double contact_start(const LimbShape &shape, double nock)
{
  constexpr double swept = 10. * M_PI / 180.; // lean at the nock over the smallest lean on the way
  const double root = shape.description().root_station;
  double smallest = shape.lean(nock);
  for (int i = 0; i <= 100; ++i)
    smallest = std::min(smallest, shape.lean(root + (nock - root) * i / 100.));
  return shape.lean(nock) - smallest > swept ? root + 0.4 * (nock - root) : std::numeric_limits<double>::infinity();
}

} // namespace

std::vector<ContactPoint> contact_points(const LimbModel &solid, const StringSeat &seat)
{
  std::vector<ContactPoint> result;
  constexpr double tolerance = 1e-9;
  for (const double station : solid.column_stations())
  {
    if (station > seat.station - tolerance)
      break;
    const double back = solid.shape().outer_back_depth(station), belly = solid.shape().outer_belly_depth(station);
    const bool in_groove = station >= seat.groove_from - tolerance;
    if (station >= seat.contact_from && in_groove)
      result.push_back({station, section_point(solid, station, belly - seat.groove_depth)});
    else if (station >= seat.contact_from)
      result.push_back({station, node_at_depth(solid, station, back + seat.depth_fraction * (belly - back))});
    if (seat.bridge && std::abs(station - seat.bridge->station) < tolerance)
      result.push_back({station, section_point(solid, station, belly + seat.bridge->height)});
  }
  return result;
}

StringSeat string_seat(const LimbModel &limb, bool mirrored)
{
  const LimbShape &shape = limb.shape();
  const NockDescription &nock = shape.description().nock;
  StringSeat seat;
  seat.station = limb.nearest_column(nock.station);
  const double back = shape.outer_back_depth(seat.station), belly = shape.outer_belly_depth(seat.station);
  seat.depth = back + nock.depth_fraction * (belly - back);
  seat.depth_fraction = nock.depth_fraction;
  seat.across = limb.dimension() == 3 ? nock.across : 0.;
  seat.mirrored = mirrored;
  seat.contact_from = contact_start(shape, seat.station);
  if (nock.groove_length > 0.)
  {
    // The string leaves the groove at its bottom, so it enters the nock no higher.
    seat.groove_from = seat.station - nock.groove_length;
    seat.groove_depth = nock.groove_depth;
    seat.depth = std::min(seat.depth, belly - nock.groove_depth);
  }
  if (const auto &bridge = shape.description().bridge)
    seat.bridge = StringBridgeDescription{limb.nearest_column(bridge->station), bridge->height};
  return seat;
}

BowString::BowString(const std::vector<LimbModel *> &solids, const std::vector<StringSeat> &seats, double stiffness,
                     Hold the_hold)
    : compliance(1. / stiffness), hold(the_hold)
{
  for (std::size_t k = 0; k < solids.size(); ++k)
  {
    const std::vector<ContactPoint> contact = contact_points(*solids[k], seats[k]);
    std::vector<int> chain; // along the string
    for (std::size_t i = 0; i < contact.size(); ++i)
      chain.push_back(first_contact + static_cast<int>(i));
    chain.push_back(0);
    Limb limb{seats[k], LoadPoints(*solids[k], load_points(*solids[k], seats[k], contact), chain), {}};
    for (const ContactPoint &point : contact)
      limb.stations.push_back(point.station);
    limbs.push_back(std::move(limb));
  }
}

BowString::NockingPoint BowString::nocking_point(const State &state, double draw, std::size_t k) const
{
  // Heights count from the point about which the handle rocks.
  const double rise = hold.pressure_height, h = height(state) - rise, c = std::cos(turn(state)), s = std::sin(turn(state));
  const Eigen::Vector3d m(1., limbs[k].seat.mirrored ? -1. : 1., 0.);
  const auto mirrored = [&](double x, double y) { return Eigen::Vector3d(x, m.y() * y, 0.); };
  // (-draw, h) seen from a frame that has turned by the handle's angle.
  return {mirrored(-draw * c + h * s, draw * s + h * c + rise),
          mirrored(s, c),
          mirrored(draw * s + h * c, draw * c - h * s),
          mirrored(-c, s),
          mirrored(draw * c - h * s, -draw * s - h * c),
          mirrored(c, -s),
          mirrored(s, c)};
}

BowString::Path BowString::path_to(const Limb &limb, const Eigen::Vector3d &nocking_point, const Eigen::VectorXd &values) const
{
  // From the nock toward the handle and on to the nocking point, keep only the points where the string turns round the belly,
  // to the left: the rest lie on the target's side of the chord.
  std::vector<int> kept = {0};
  std::vector<Eigen::Vector3d> places = {point(values, 0)};
  const auto add = [&](int number, const Eigen::Vector3d &place)
  {
    while (places.size() > 1 && cross(places.back() - places[places.size() - 2], place - places.back()) <= 0.)
    {
      kept.pop_back();
      places.pop_back();
    }
    kept.push_back(number);
    places.push_back(place);
  };
  for (int i = static_cast<int>(limb.stations.size()) - 1; i >= 0; --i)
    add(first_contact + i, point(values, first_contact + i));
  add(-1, nocking_point);

  Path path;
  path.nocking_point = nocking_point;
  path.tip = point(values, 0);
  path.director = point(values, 1);
  path.lift_off_station = limb.seat.station;
  for (std::size_t i = kept.size() - 1; i-- > 0;)
  {
    const Eigen::Vector3d run = places[i] - places[i + 1];
    path.points.push_back(kept[i]);
    path.lengths.push_back(run.norm());
    path.directions.push_back(run / run.norm());
    path.length += run.norm();
    if (path.points.size() > 1)
      path.contact_length += run.norm();
  }
  if (path.points.front() >= first_contact)
    path.lift_off_station = limb.stations[path.points.front() - first_contact];
  return path;
}

BowString::Path BowString::path(const State &state, double draw, std::size_t k) const
{
  return path_to(limbs[k], nocking_point(state, draw, k).place, limbs[k].points.values(state.q[k]));
}

BowString::FirstPiece BowString::add_tension(const State &state, double draw, std::size_t k, bool parameter_is_draw,
                                             CoupledSystem &system) const
{
  const Limb &limb = limbs[k];
  const NockingPoint n = nocking_point(state, draw, k);
  const Path path = path_to(limb, n.place, limb.points.values(state.q[k]));
  const double T = tension(state, k);
  for (std::size_t j = 0; j < path.points.size(); ++j)
  {
    // The length's gradient at this point: the directions of the pieces that meet there.
    const int here = path.points[j];
    Eigen::Vector3d gradient = path.directions[j];
    if (j + 1 < path.points.size())
      gradient -= path.directions[j + 1];
    limb.points.add_force(here, T * gradient, system.residual[k]);
    limb.points.add_force(here, gradient, system.columns[k].col(static_cast<int>(k)));
    const Eigen::Matrix3d piece = T * stiffness_of_piece(path.directions[j], path.lengths[j]);
    if (j == 0)
      limb.points.add_stiffness(here, piece, *system.tangent[k]);
    else
      limb.points.add_tie(path.points[j - 1], here, piece, *system.tangent[k]);
  }

  const FirstPiece first{n, path.points.front(), path.directions.front(),
                         stiffness_of_piece(path.directions.front(), path.lengths.front()), path.length};
  if (parameter_is_draw)
    limb.points.add_force(first.point, -T * first.stiffness * n.by_draw, system.residual_rate[k]);
  if (two_limbs())
  {
    limb.points.add_force(first.point, -T * first.stiffness * n.by_height, system.columns[k].col(2));
    limb.points.add_force(first.point, -T * first.stiffness * n.by_turn, system.columns[k].col(3));
  }
  return first;
}

void BowString::keep(const State &state, int scalar, double value, CoupledSystem &system) const
{
  system.constraint[scalar] = state.scalars[scalar] - value;
  system.corner(scalar, scalar) = 1.;
}

double BowString::bracing_start(const State &unstrung, double brace_height) const
{
  double sum = 0.;
  for (std::size_t k = 0; k < limbs.size(); ++k)
    sum += angle_to_handle(path(unstrung, brace_height, k).directions.front());
  return sum;
}

Loads BowString::bracing(double brace_height) const
{
  return [this, brace_height](const State &state, double parameter, CoupledSystem &system)
  {
    system.constraint[0] = -parameter;
    system.constraint_rate[0] = -1.;
    for (std::size_t k = 0; k < limbs.size(); ++k)
    {
      const FirstPiece first = add_tension(state, brace_height, k, false, system);
      system.constraint[0] += angle_to_handle(first.direction);
      const Eigen::Vector3d by_end = first.stiffness * Eigen::Vector3d(first.direction.y(), -first.direction.x(), 0.) /
                                     first.direction.head<2>().squaredNorm();
      limbs[k].points.add_force(first.point, by_end, system.rows[k].col(0));
      if (two_limbs())
      {
        system.corner(0, 2) -= by_end.dot(first.nocking_point.by_height);
        system.corner(0, 3) -= by_end.dot(first.nocking_point.by_turn);
      }
    }
    if (!two_limbs())
      return;
    system.constraint[1] = force_scale * (state.scalars[1] - state.scalars[0]);
    system.corner(1, 1) = force_scale;
    system.corner(1, 0) = -force_scale;
    keep(state, 2, 0., system);
    keep(state, 3, 0., system);
  };
}

Loads BowString::drawing_held(const std::vector<double> &slack_lengths) const
{
  return drawing(slack_lengths, {false, hold.height, false, hold.pressure_height});
}

Loads BowString::drawing(const std::vector<double> &slack_lengths, const Hold &held) const
{
  return [this, slack_lengths, held](const State &state, double parameter, CoupledSystem &system)
  {
    for (std::size_t k = 0; k < limbs.size(); ++k)
    {
      const int own = static_cast<int>(k);
      const FirstPiece first = add_tension(state, parameter, k, true, system);
      const NockingPoint &n = first.nocking_point;
      const Eigen::Vector3d &e = first.direction;
      const Eigen::Matrix3d &piece = first.stiffness;
      const double T = tension(state, k);
      system.rows[k].col(own) = system.columns[k].col(own);
      system.corner(own, own) = -slack_lengths[k] * compliance;
      system.constraint[own] = first.string_length - slack_lengths[k] * (1. + T * compliance);
      system.constraint_rate[own] = -e.dot(n.by_draw);
      if (!two_limbs())
        continue;
      system.corner(own, 2) = -e.dot(n.by_height);
      system.corner(own, 3) = -e.dot(n.by_turn);
      if (held.free_height) // no force along the fingers
      {
        system.constraint[2] -= force_scale * T * e.dot(n.by_height);
        system.rows[k].col(2) = force_scale * system.columns[k].col(2);
        system.corner(2, own) = -force_scale * e.dot(n.by_height);
        system.corner(2, 2) += force_scale * T * n.by_height.dot(piece * n.by_height);
        system.corner(2, 3) += force_scale * T * (n.by_height.dot(piece * n.by_turn) - e.dot(n.by_height_turn));
        system.constraint_rate[2] += force_scale * T * n.by_height.dot(piece * n.by_draw);
      }
      if (held.free_handle) // no moment of the string about the pivot
      {
        system.constraint[3] -= force_scale * T * e.dot(n.by_turn);
        system.rows[k].col(3) = force_scale * system.columns[k].col(3);
        system.corner(3, own) = -force_scale * e.dot(n.by_turn);
        system.corner(3, 2) += force_scale * T * (n.by_height.dot(piece * n.by_turn) - e.dot(n.by_height_turn));
        system.corner(3, 3) += force_scale * T * (n.by_turn.dot(piece * n.by_turn) - e.dot(n.by_turn_turn));
        system.constraint_rate[3] += force_scale * T * (n.by_turn.dot(piece * n.by_draw) - e.dot(n.by_draw_turn));
      }
    }
    if (!two_limbs())
      return;
    if (!held.free_height)
      keep(state, 2, held.height, system);
    if (!held.free_handle)
      keep(state, 3, 0., system);
  };
}

Loads BowString::releasing(double brace_height, const std::vector<double> &tensions) const
{
  return [this, brace_height, tensions](const State &state, double parameter, CoupledSystem &system)
  {
    for (std::size_t k = 0; k < limbs.size(); ++k)
    {
      const int own = static_cast<int>(k);
      add_tension(state, brace_height, k, false, system);
      system.constraint[own] = force_scale * (state.scalars[own] - parameter * tensions[k]);
      system.corner(own, own) = force_scale;
      system.constraint_rate[own] = -force_scale * tensions[k];
    }
    if (!two_limbs())
      return;
    keep(state, 2, 0., system);
    keep(state, 3, 0., system);
  };
}

double BowString::pull(const State &state, double draw, std::size_t k) const
{
  return -path(state, draw, k).directions.front().dot(nocking_point(state, draw, k).by_draw);
}
} // namespace limbwright
