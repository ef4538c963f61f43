#include "solver/stages/face_traction.h"

#include "meshing/shape/limb_shape.h"

#include <Eigen/Geometry>

#include <array>
#include <cmath>
#include <vector>

namespace limbwright
{
namespace
{
// A point of a quadrature rule on an edge from -1 to 1, with the three quadratic shape functions there and their derivatives.
struct EdgePoint
{
  double weight;
  std::array<double, 3> shape, slope;
};

EdgePoint edge_point(double x, double weight)
{
  return {weight, {0.5 * x * (x - 1.), 1. - x * x, 0.5 * x * (x + 1.)}, {x - 0.5, -2. * x, x + 0.5}};
}

// Three Gauss points on every edge of an element's face.
template <int dim>
Loads traction_on_face(const LayeredSolid<dim> &solid, bool back, const std::function<Eigen::Vector2d(double)> &traction)
{
  const double r = std::sqrt(0.6);
  const std::vector<EdgePoint> along{edge_point(-r, 5. / 9.), edge_point(0., 8. / 9.), edge_point(r, 5. / 9.)};
  const std::vector<EdgePoint> across = dim == 2 ? std::vector<EdgePoint>{{1., {1., 0., 0.}, {0., 0., 0.}}} : along;
  constexpr int n_across = dim == 2 ? 1 : 3;
  Eigen::VectorXd force = Eigen::VectorXd::Zero(solid.space().n_dofs());
  const auto &nodes = solid.nodes();
  for (const auto &cell : solid.cells())
  {
    const auto number = [&](int j, int k) { return cell.nodes[(back ? 2 : 0) + 3 * j + 9 * k]; };
    const auto &middle = nodes[number(1, n_across / 2)];
    const double face = back ? solid.shape().outer_back_depth(middle.station) : solid.shape().outer_belly_depth(middle.station);
    if (std::abs(middle.depth - face) > 1e-9)
      continue;
    for (const EdgePoint &s : along)
      for (const EdgePoint &z : across)
      {
        Eigen::Vector3d tangent = Eigen::Vector3d::Zero(), sideways = Eigen::Vector3d::Zero();
        double station = 0., depth = 0.;
        for (int k = 0; k < n_across; ++k)
          for (int j = 0; j < 3; ++j)
          {
            const auto &node = nodes[number(j, k)];
            const Eigen::Vector3d place = Eigen::Map<const Eigen::Vector3d>(node.place.data());
            tangent += s.slope[j] * z.shape[k] * place;
            sideways += s.shape[j] * z.slope[k] * place;
            station += s.shape[j] * z.shape[k] * node.station;
            depth += s.shape[j] * z.shape[k] * node.depth;
          }
        const double area = dim == 2 ? tangent.norm() * solid.shape().width(station, depth)
                                     : tangent.cross(sideways).norm() * (solid.half_width() ? 2. : 1.);
        const Eigen::Vector2d load = s.weight * z.weight * area * traction(station);
        for (int k = 0; k < n_across; ++k)
          for (int j = 0; j < 3; ++j)
            force.segment<2>(dim * number(j, k)) += s.shape[j] * z.shape[k] * load;
      }
  }
  const Eigen::VectorXd reduced = solid.space().restrict_to_free(force);
  return [reduced](const State &, double parameter, CoupledSystem &system)
  {
    system.residual[0] -= parameter * reduced;
    system.residual_rate[0] -= reduced;
  };
}
} // namespace

Loads face_traction(const LayeredSolid<2> &solid, bool back, const std::function<Eigen::Vector2d(double)> &traction)
{
  return traction_on_face(solid, back, traction);
}

Loads face_traction(const LayeredSolid<3> &solid, bool back, const std::function<Eigen::Vector2d(double)> &traction)
{
  return traction_on_face(solid, back, traction);
}
} // namespace limbwright
