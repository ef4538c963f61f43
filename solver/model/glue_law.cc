#include "solver/model/glue_law.h"

#include <Eigen/Geometry>
#include <unsupported/Eigen/AutoDiff>

#include <cmath>

namespace limbwright
{
template <>
GlueSeparation<2>::GlueSeparation(const Vector &w, Derivatives derivatives)
{
  using Eigen::Vector2d;
  const Vector2d d = w.head<2>(), g = w.tail<2>();
  const double length = g.norm();
  const Vector2d tangent = g / length;
  // The back lies to the right of one who walks toward the tip.
  const Vector2d n(tangent.y(), -tangent.x());
  const double normal = d.dot(n), slip = d.dot(tangent);
  apart << normal, slip;
  if (derivatives == Derivatives::none)
    return;

  // With the angle a of the tangent: d tangent/da = -n, dn/da = tangent, grad a = -n/|g|, hess a = (n t^T + t n^T)/|g|^2.
  const double normal_a = slip, slip_a = -normal;
  const Vector2d a_g = -n / length;
  const Eigen::Matrix2d a_gg = (n * tangent.transpose() + tangent * n.transpose()) / (length * length);
  gradient << n, tangent, normal_a * a_g, slip_a * a_g;

  const auto fill = [&](Matrix &into, double value_a, double value_aa, const Vector2d &direction_a)
  {
    into.topLeftCorner<2, 2>().setZero();
    into.topRightCorner<2, 2>() = direction_a * a_g.transpose();
    into.bottomLeftCorner<2, 2>() = a_g * direction_a.transpose();
    into.bottomRightCorner<2, 2>() = value_aa * a_g * a_g.transpose() + value_a * a_gg;
  };
  fill(hessian[0], normal_a, -normal, tangent);
  fill(hessian[1], slip_a, -slip, -n);
}

namespace
{
// Opening, slip along, slip across, for numbers that carry their derivatives.
template <class T>
std::array<T, 3> separation_in_space(const Eigen::Matrix<T, 9, 1> &w)
{
  using std::sqrt;
  using Vector = std::array<T, 3>;
  const auto dot = [](const Vector &a, const Vector &b) { return T(a[0] * b[0] + a[1] * b[1] + a[2] * b[2]); };
  const auto cross = [](const Vector &a, const Vector &b) {
    return Vector{T(a[1] * b[2] - a[2] * b[1]), T(a[2] * b[0] - a[0] * b[2]), T(a[0] * b[1] - a[1] * b[0])};
  };
  const Vector d{w[0], w[1], w[2]}, g{w[3], w[4], w[5]}, h{w[6], w[7], w[8]};
  const Vector normal = cross(g, h);
  const T length = sqrt(dot(g, g)), area = sqrt(dot(normal, normal));
  // b = n x t
  return {T(dot(d, normal) / area), T(dot(d, g) / length), T(dot(d, cross(normal, g)) / (area * length))};
}
} // namespace

template <>
GlueSeparation<3>::GlueSeparation(const Vector &w, Derivatives derivatives)
{
  using First = Eigen::AutoDiffScalar<Vector>;
  using Second = Eigen::AutoDiffScalar<Eigen::Matrix<First, 9, 1>>;
  if (derivatives == Derivatives::none)
  {
    const auto value = separation_in_space<double>(w);
    apart << value[0], value[1], value[2];
    return;
  }
  Eigen::Matrix<First, 9, 1> variables;
  for (int i = 0; i < 9; ++i)
    variables[i] = First(w[i], 9, i);
  if (derivatives == Derivatives::first)
  {
    const auto value = separation_in_space<First>(variables);
    for (int c = 0; c < 3; ++c)
    {
      apart[c] = value[c].value();
      gradient.col(c) = value[c].derivatives();
    }
    return;
  }
  Eigen::Matrix<Second, 9, 1> twice;
  for (int i = 0; i < 9; ++i)
  {
    twice[i].value() = variables[i];
    for (int j = 0; j < 9; ++j)
      twice[i].derivatives()[j] = First(i == j ? 1. : 0., Vector(Vector::Zero()));
  }
  const auto value = separation_in_space<Second>(twice);
  for (int c = 0; c < 3; ++c)
  {
    apart[c] = value[c].value().value();
    for (int i = 0; i < 9; ++i)
    {
      gradient(i, c) = value[c].derivatives()[i].value();
      hessian[c].col(i) = value[c].derivatives()[i].derivatives();
    }
  }
}
} // namespace limbwright
