#pragma once

#include <Eigen/Core>

#include <array>

namespace limbwright
{
/// The moving frame of a glue line. Its variables w: d = place of the back side minus place of the belly side, then the tangents
/// of the mid-surface, g along the limb and in a solid h across it (not of unit length), all current: w = (d, g) of four entries
/// in the side view, (d, g, h) of nine in a solid.
/// Separation in the frame of the deformed mid-surface: opening d . n, slip along d . t and in a solid slip across d . b, with
/// t = g/|g|, n square to the mid-surface and turned toward the back, b = n x t.
template <int dim>
struct GlueSeparation
{
  static constexpr int n_variables = dim == 2 ? 4 : 9;
  using Vector = Eigen::Matrix<double, n_variables, 1>;
  using Matrix = Eigen::Matrix<double, n_variables, n_variables>;

  Eigen::Matrix<double, dim, 1> apart;              //!< [m] opening; slip, positive when the back side is nearer the tip; slip
                                                    //!< across, positive when it is farther along z
  Eigen::Matrix<double, n_variables, dim> gradient; //!< of each by w
  std::array<Matrix, static_cast<std::size_t>(dim)> hessian; //!< of each by w

  enum class Derivatives
  {
    none,
    first,
    second
  };
  /// Values, and the exact derivatives that are asked for; the rest is left unset.
  explicit GlueSeparation(const Vector &w, Derivatives derivatives = Derivatives::second);
};
} // namespace limbwright
