#pragma once

#include <Eigen/Core>

#include <algorithm>

namespace limbwright
{
/// A band between two points that pulls them together and never pushes. Energy: force squared over twice the stiffness.
struct TensionBand
{
  double length = 0.;    //!< [m] between the points where they are at rest
  double stiffness = 0.; //!< [N/m]
  double pull = 0.;      //!< [N] at that length

  double force(double now) const { return std::max(0., pull + stiffness * (now - length)); } //!< [N]
  double energy(double now) const                                                            //!< [J]
  {
    return stiffness > 0. ? 0.5 * force(now) * force(now) / stiffness : 0.;
  }

  /// d force / d place of the second point, from what leads there from the first [N/m]; the force is along that. Of the part
  /// that turns the force with the band a share is taken.
  template <int dim>
  Eigen::Matrix<double, dim, dim> tangent(const Eigen::Matrix<double, dim, 1> &span, double geometric_share) const
  {
    using Square = Eigen::Matrix<double, dim, dim>;
    const double now = span.norm(), pulls = force(now);
    if (pulls == 0.)
      return Square::Zero();
    const Eigen::Matrix<double, dim, 1> n = span / now;
    return stiffness * n * n.transpose() + geometric_share * pulls / now * (Square::Identity() - n * n.transpose());
  }
};
} // namespace limbwright
