#include "solver/model/glue_law.h"

#include <cmath>

namespace limbwright
{
GlueSeparation::GlueSeparation(const Vector &w, bool derivatives)
{
  using Eigen::Vector2d;
  const Vector2d d = w.head<2>(), g = w.tail<2>();
  const double length = g.norm();
  const Vector2d tangent = g / length;
  // The back lies to the right of one who walks toward the tip.
  const Vector2d n(tangent.y(), -tangent.x());
  normal = d.dot(n);
  slip = d.dot(tangent);
  if (!derivatives)
    return;

  // With the angle a of the tangent: d tangent/da = -n, dn/da = tangent, grad a = -n/|g|, hess a = (n t^T + t n^T)/|g|^2.
  const double normal_a = slip, slip_a = -normal;
  const Vector2d a_g = -n / length;
  const Eigen::Matrix2d a_gg = (n * tangent.transpose() + tangent * n.transpose()) / (length * length);
  normal_gradient << n, normal_a * a_g;
  slip_gradient << tangent, slip_a * a_g;

  const auto fill = [&](Matrix &hessian, double value_a, double value_aa, const Vector2d &direction_a)
  {
    hessian.topLeftCorner<2, 2>().setZero();
    hessian.topRightCorner<2, 2>() = direction_a * a_g.transpose();
    hessian.bottomLeftCorner<2, 2>() = a_g * direction_a.transpose();
    hessian.bottomRightCorner<2, 2>() = value_aa * a_g * a_g.transpose() + value_a * a_gg;
  };
  fill(normal_hessian, normal_a, -normal, tangent);
  fill(slip_hessian, slip_a, -slip, -n);
}
} // namespace limbwright
