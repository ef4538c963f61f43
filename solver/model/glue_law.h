#pragma once

#include <Eigen/Core>

namespace limbwright
{
/// The moving frame of a glue line in the side view. Its variables w = (d_x, d_y, g_x, g_y): d = place of the back side minus
/// place of the belly side, g = tangent of the mid-surface along the limb (not of unit length), both current.
/// Separation in the frame of the deformed mid-surface: normal = d . n, slip = d . g/|g|, n = g/|g| turned toward the back.
struct GlueSeparation
{
  using Vector = Eigen::Vector4d;
  using Matrix = Eigen::Matrix4d;

  double normal = 0.; //!< [m] along the current normal
  double slip = 0.;   //!< [m] along the current tangent, positive when the back side is nearer the tip
  Vector normal_gradient, slip_gradient;
  Matrix normal_hessian, slip_hessian;

  /// Values, and with derivatives = true the exact first and second derivatives with respect to w.
  explicit GlueSeparation(const Vector &w, bool derivatives = true);
};
} // namespace limbwright
