#include "solver/stages/half_string.h"

namespace limbwright
{
namespace
{
// Force of tension T on the string's end, its stiffness, and its column in the tangent.
void add_tension(const LoadPoints &points, std::size_t part, const HalfString::Geometry &g, double tension, CoupledSystem &system)
{
  Eigen::VectorXd gradient = Eigen::VectorXd::Zero(4);
  gradient.head<2>() = g.direction;
  Eigen::MatrixXd hessian = Eigen::MatrixXd::Zero(4, 4);
  hessian.topLeftCorner<2, 2>() = tension / g.length * (Eigen::Matrix2d::Identity() - g.direction * g.direction.transpose());
  points.add_force(tension * gradient, system.residual[part]);
  points.add_stiffness(hessian, *system.tangent[part]);
  points.add_force(gradient, system.columns[part].col(0));
}
} // namespace

HalfString::HalfString(LayeredSolid<2> &solid, std::size_t part_number, double nock_station, double nock_depth, double stiffness)
    : part(part_number),
      points(solid, {section_point(solid, nock_station, nock_depth), section_director(solid, nock_station)}),
      compliance(1. / stiffness)
{
}

HalfString::Geometry HalfString::geometry(const State &state, double draw, double height) const
{
  const Eigen::VectorXd v = points.values(state.q[part]);
  const Eigen::Vector2d run = v.head<2>() - Eigen::Vector2d(-draw, height);
  return {v.head<2>(), run.normalized(), run.norm(), v.tail<2>()};
}

Loads HalfString::bracing(double brace_height) const
{
  return [this, brace_height](const State &state, double parameter, CoupledSystem &system)
  {
    const Geometry g = geometry(state, brace_height);
    add_tension(points, part, g, state.scalars[0], system);
    points.add_force(Eigen::Vector4d(1., 0., 0., 0.), system.rows[part].col(0));
    system.constraint[0] = g.tip.x() - parameter;
    system.constraint_rate[0] = -1.;
  };
}

Loads HalfString::drawing(double slack_length) const
{
  return [this, slack_length](const State &state, double parameter, CoupledSystem &system)
  {
    const double tension = state.scalars[0];
    const Geometry g = geometry(state, parameter);
    add_tension(points, part, g, tension, system);
    system.rows[part] = system.columns[part];
    system.corner(0, 0) = -slack_length * compliance;
    system.constraint[0] = g.length - slack_length * (1. + tension * compliance);
    // The nocking point moves toward the archer, along minus x.
    Eigen::VectorXd turn = Eigen::VectorXd::Zero(4);
    turn.head<2>() = tension / g.length * (Eigen::Vector2d::UnitX() - g.direction.x() * g.direction);
    points.add_force(turn, system.residual_rate[part]);
    system.constraint_rate[0] = g.direction.x();
  };
}
} // namespace limbwright
