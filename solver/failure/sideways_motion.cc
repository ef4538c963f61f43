#include "solver/failure/sideways_motion.h"

#include <Eigen/Geometry>
#include <Eigen/LU>

#include <algorithm>
#include <cmath>

namespace limbwright
{
SidewaysMotion sideways_motion(const LimbModel &solid, double station, const std::map<int, double> &shares,
                               const Eigen::VectorXd &u)
{
  const auto reference = [&](int node) { return Eigen::Map<const Eigen::Vector3d>(solid.nodes()[node].place.data()); };
  Eigen::Vector3d middle = Eigen::Vector3d::Zero(), moved = middle;
  for (const auto &[node, share] : shares)
  {
    middle += share * reference(node);
    moved += share * u.segment<3>(3 * node);
  }
  const double lean = solid.shape().lean(station);
  const Eigen::Vector3d toward_back(std::cos(lean), -std::sin(lean), 0.);

  Eigen::Matrix2d moments = Eigen::Matrix2d::Zero();
  Eigen::Matrix<double, 3, 2> products = Eigen::Matrix<double, 3, 2>::Zero();
  for (const auto &[node, share] : shares)
  {
    const Eigen::Vector3d from = reference(node) - middle;
    const Eigen::Vector2d in_section(toward_back.dot(from), from.z());
    moments += share * in_section * in_section.transpose();
    products += share * (from + u.segment<3>(3 * node) - moved) * in_section.transpose();
  }
  const Eigen::Matrix<double, 3, 2> directors = products * moments.inverse();
  const Eigen::Vector3d along = directors.col(1).cross(directors.col(0)); // the section's normal, toward the tip
  const Eigen::Vector3d back_now = Eigen::Vector3d(along.y(), -along.x(), 0.).normalized(),
                        across = directors.col(1).normalized();
  const double toward_back_now = across.dot(back_now);
  return {moved.z(), std::asin(std::clamp(toward_back_now, -1., 1.))};
}
} // namespace limbwright
