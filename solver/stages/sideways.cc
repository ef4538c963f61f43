#include "solver/stages/sideways.h"

#include "solver/model/section_functional.h"

#include <Spectra/GenEigsSolver.h>

#include <cmath>
#include <utility>

namespace limbwright
{
namespace
{
// K^-1 G on displacements and scalars in one vector.
class GivingWay
{
public:
  using Scalar = double;

  GivingWay(Equilibrium &the_equilibrium, const State &state, double parameter, const Loads &loads, int n_tensions)
      : equilibrium(the_equilibrium), zero(the_equilibrium.zero(static_cast<int>(state.scalars.size())))
  {
    for (const auto &q : state.q)
      n += q.size();
    n += state.scalars.size();
    State unstressed = state;
    unstressed.scalars.head(n_tensions).setZero();
    scale(0.);
    CoupledSystem without = equilibrium.assembled(unstressed, parameter, loads);
    corner = without.corner;
    for (LimbModel *solid : equilibrium.solids())
      geometric.push_back(solid->tangent().lower());
    scale(1.);
  }

  // Factorises K. False where it is singular.
  bool close(const State &state, double parameter, const Loads &loads)
  {
    if (!equilibrium.linearise(state, parameter, loads))
      return false;
    corner -= equilibrium.linearisation().corner;
    for (std::size_t p = 0; p < geometric.size(); ++p)
    {
      geometric[p] -= equilibrium.solids()[p]->tangent().lower();
      tied.push_back(equilibrium.solids()[p]->tangent().outer_products());
    }
    return true;
  }

  Eigen::Index rows() const { return n; }
  Eigen::Index cols() const { return n; }
  void perform_op(const double *in, double *out) const
  {
    const State way = unpacked(Eigen::Map<const Eigen::VectorXd>(in, n));
    Imbalance thrown;
    for (std::size_t p = 0; p < geometric.size(); ++p)
    {
      Eigen::VectorXd force = geometric[p].selfadjointView<Eigen::Lower>() * way.q[p];
      equilibrium.solids()[p]->communicator().sum(force);
      for (const OuterProduct &tie : tied[p])
      {
        const double pull = tie.factor * tie.dot(way.q[p]);
        for (std::size_t i = 0; i < tie.unknowns.size(); ++i)
          force[tie.unknowns[i]] -= pull * tie.values[static_cast<Eigen::Index>(i)];
      }
      thrown.residual.push_back(-force);
    }
    thrown.constraint = -corner * way.scalars;
    const State moved = equilibrium.response(thrown);
    Eigen::Map<Eigen::VectorXd> packed(out, n);
    Eigen::Index at = 0;
    for (const auto &q : moved.q)
    {
      packed.segment(at, q.size()) = q;
      at += q.size();
    }
    packed.tail(moved.scalars.size()) = moved.scalars;
  }
  State unpacked(const Eigen::VectorXd &packed) const
  {
    State state = zero;
    Eigen::Index at = 0;
    for (auto &q : state.q)
    {
      q = packed.segment(at, q.size());
      at += q.size();
    }
    state.scalars = packed.tail(state.scalars.size());
    return state;
  }

private:
  Equilibrium &equilibrium;
  State zero;
  Eigen::Index n = 0;
  std::vector<Eigen::SparseMatrix<double>> geometric; // this rank's part, lower triangle
  std::vector<std::vector<OuterProduct>> tied;        // of the string, where it lies on the limb, the same on all ranks
  Eigen::MatrixXd corner;

  void scale(double share)
  {
    for (LimbModel *solid : equilibrium.solids())
      solid->scale_geometric_stiffness(share);
  }
};
} // namespace

std::optional<CriticalMode> critical_mode(Equilibrium &equilibrium, const State &state, double parameter, const Loads &loads,
                                          int n_tensions, double most)
{
  GivingWay operation(equilibrium, state, parameter, loads, n_tensions);
  if (!operation.close(state, parameter, loads))
    return std::nullopt;
  constexpr int n_modes = 4, n_vectors = 24;
  Spectra::GenEigsSolver<GivingWay> solver(operation, n_modes, n_vectors);
  solver.init();
  constexpr int restarts = 30;
  constexpr double tolerance = 1e-6;
  if (solver.compute(Spectra::SortRule::LargestMagn, restarts, tolerance) == 0)
    return std::nullopt;
  std::optional<CriticalMode> first;
  for (Eigen::Index i = 0; i < solver.eigenvalues().size(); ++i)
  {
    const double factor = 1. + 1. / solver.eigenvalues()[i].real();
    if (factor > 0. && factor < most && (!first || factor < first->factor))
      first = CriticalMode{factor, operation.unpacked(solver.eigenvectors().col(i).real())};
  }
  return first;
}

double sideways_stiffness(const Equilibrium &equilibrium, std::size_t solid, double station, double depth, int n_scalars)
{
  const LimbModel &limb = *equilibrium.solids()[solid];
  const SectionFunctional point = section_point(limb, station, depth);
  Eigen::VectorXd across = Eigen::VectorXd::Zero(limb.space().n_dofs());
  for (std::size_t i = 0; i < point.nodes.size(); ++i)
    across[3 * static_cast<Eigen::Index>(point.nodes[i]) + 2] += point.weights[i];
  const State still = equilibrium.zero(n_scalars);
  Imbalance thrown{still.q, still.scalars};
  thrown.residual[solid] = -limb.space().restrict_to_free(across);
  return 1. / across.dot(limb.space().expand(equilibrium.response(thrown).q[solid]));
}

double share_across(const Equilibrium &equilibrium, const State &way)
{
  double across = 0., all = 0.;
  for (std::size_t p = 0; p < way.q.size(); ++p)
  {
    const LimbModel &limb = *equilibrium.solids()[p];
    const Eigen::VectorXd u = limb.space().expand(way.q[p]);
    for (std::size_t i = 0; i < limb.nodes().size(); ++i)
      if (std::abs(limb.nodes()[i].across) < 1e-9)
      {
        const auto moved = u.segment<3>(3 * static_cast<Eigen::Index>(i));
        all += moved.squaredNorm();
        across += moved.z() * moved.z();
      }
  }
  return all > 0. ? across / all : 0.;
}
} // namespace limbwright
