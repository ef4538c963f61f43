#include "solver/stages/loads.h"

#include <cmath>

namespace limbwright
{
SectionForce::SectionForce(LimbModel &solid, double station, double depth)
    : points(solid, {section_point(solid, station, depth)}), start(section_point(solid, station, depth).reference)
{
}

Loads SectionForce::dead(const Eigen::Vector2d &force) const
{
  return dead_in_space({force.x(), force.y(), 0.});
}

Loads SectionForce::dead_in_space(const Eigen::Vector3d &force) const
{
  return [this, force](const State &, double parameter, CoupledSystem &system)
  {
    points.add_force(-parameter * force, system.residual[0]);
    points.add_force(-force, system.residual_rate[0]);
  };
}

Eigen::Vector3d SectionForce::place_in_space(const State &state) const
{
  return points.values(state.q[0]);
}

Loads SectionForce::held(const Eigen::Vector2d &way, int scalar) const
{
  const Eigen::Vector3d direction(way.x(), way.y(), 0.);
  return [this, direction, scalar](const State &state, double parameter, CoupledSystem &system)
  {
    points.add_force(-state.scalars[scalar] * direction, system.residual[0]);
    points.add_force(-direction, system.columns[0].col(scalar));
    // The constraint carries the column's sign, so that the whole tangent is symmetric.
    points.add_force(-direction, system.rows[0].col(scalar));
    system.constraint[scalar] = parameter - direction.dot(place_in_space(state) - start);
    system.constraint_rate[scalar] = 1.;
  };
}

SectionMoment::SectionMoment(LimbModel &solid, double station) : points(solid, {section_director(solid, station)})
{
}

Loads SectionMoment::moment(double moment) const
{
  return [this, moment](const State &state, double parameter, CoupledSystem &system)
  {
    // Potential -moment * angle of the director d: gradient (-d_y, d_x) / |d|^2.
    const Eigen::Vector2d d = points.values(state.q[0]).head<2>();
    const Eigen::Vector2d t = d.normalized(), e(-t.y(), t.x());
    const Eigen::Vector3d gradient(e.x() / d.norm(), e.y() / d.norm(), 0.);
    Eigen::Matrix3d hessian = Eigen::Matrix3d::Zero();
    hessian.topLeftCorner<2, 2>() = -(e * t.transpose() + t * e.transpose()) / d.squaredNorm();
    points.add_force(-parameter * moment * gradient, system.residual[0]);
    points.add_stiffness(0, -parameter * moment * hessian, *system.tangent[0]);
    points.add_force(-moment * gradient, system.residual_rate[0]);
  };
}

double SectionMoment::turn(const State &state) const
{
  const Eigen::Vector2d now = points.values(state.q[0]).head<2>(),
                        start = points.values(Eigen::VectorXd::Zero(state.q[0].size())).head<2>();
  return std::atan2(start.x() * now.y() - start.y() * now.x(), start.dot(now));
}

Loads sum_of(std::vector<Loads> loads)
{
  return [loads = std::move(loads)](const State &state, double parameter, CoupledSystem &system)
  {
    for (const Loads &load : loads)
      load(state, parameter, system);
  };
}
} // namespace limbwright
