#include "cases/study/modulus_fit.h"

#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/study/case_edit.h"
#include "cases/study/strip_flex.h"
#include "solver/stages/drawn_bow.h"

#include <Eigen/Dense>
#include <fmt/format.h>
#include <unsupported/Eigen/NonLinearOptimization>

#include <algorithm>
#include <cmath>
#include <memory>
#include <set>
#include <stdexcept>

namespace limbwright
{
namespace
{
// Bounds of the factors: three of the expected deviations, and at least a fifth, for a table may speak of another product; within
// half and double. Our judgement.
constexpr double least_reach = 0.2, lowest_factor = 0.5, highest_factor = 2.;

std::vector<FittedModulus> moduli_of(const Case &bow_case, const ScatterSizes &expected)
{
  std::set<std::string> names;
  for (const LimbDescription *limb : {&bow_case.bow.upper, bow_case.bow.lower ? &*bow_case.bow.lower : nullptr})
    if (limb != nullptr)
      for (const LaminationDescription &lamination : limb->laminations)
        names.insert(lamination.material);
  std::vector<FittedModulus> moduli;
  for (const std::string &name : names)
  {
    const MaterialKind kind = bow_case.bow.materials.at(name).kind;
    const bool wood = kind == MaterialKind::wood || kind == MaterialKind::bamboo;
    FittedModulus modulus;
    modulus.material = name;
    modulus.expected = wood ? expected.wood_modulus : expected.glass_modulus;
    const double reach = std::max(3. * modulus.expected, least_reach);
    modulus.lowest = std::max(lowest_factor, 1. - reach);
    modulus.highest = std::min(highest_factor, 1. + reach);
    if (modulus.expected > 0.)
      moduli.push_back(modulus);
  }
  return moduli;
}

/// What the optimiser sees: unknowns are the sines' arguments, residuals those of weights, strips, then of the factors
/// themselves.
class Misfit
{
public:
  using Scalar = double;
  using InputType = Eigen::VectorXd;
  using ValueType = Eigen::VectorXd;
  using JacobianType = Eigen::MatrixXd;
  enum
  {
    InputsAtCompileTime = Eigen::Dynamic,
    ValuesAtCompileTime = Eigen::Dynamic
  };

  Misfit(const Case &described, std::vector<FittedModulus> unknown, const std::function<void(const std::string &)> &listener,
         const std::atomic<bool> *stop_flag)
      : bow_case(described), moduli(std::move(unknown)), told(listener), stop(stop_flag)
  {
  }

  Eigen::Index inputs() const { return static_cast<Eigen::Index>(moduli.size()); }
  Eigen::Index values() const { return n_measured() + inputs(); }
  Eigen::Index n_measured() const { return static_cast<Eigen::Index>(bow_case.measured.weights.size() + flexed_strips().size()); }

  Eigen::VectorXd factors(const Eigen::VectorXd &q) const
  {
    Eigen::VectorXd f(q.size());
    for (Eigen::Index j = 0; j < q.size(); ++j)
      f[j] = middle(j) + half(j) * std::sin(q[j]);
    return f;
  }
  Eigen::VectorXd start() const
  {
    Eigen::VectorXd q(inputs());
    for (Eigen::Index j = 0; j < q.size(); ++j)
      q[j] = std::asin((1. - middle(j)) / half(j));
    return q;
  }

  Case with_factors(const Eigen::VectorXd &f) const
  {
    Case bow = bow_case;
    for (Eigen::Index j = 0; j < f.size(); ++j)
      stiffen(bow.bow.materials.at(moduli[static_cast<std::size_t>(j)].material), f[j]);
    return bow;
  }

  /// What the model makes of every measurement [N], [m]; draws the bow. Empty where it cannot be drawn; `reason` then says why.
  Eigen::VectorXd measured_by_model(const Eigen::VectorXd &f)
  {
    if (f_drawn.size() == f.size() && f_drawn == f)
      return by_model;
    drawn.clear();
    f_drawn.resize(0);
    const Case bow = with_factors(f);
    Eigen::VectorXd found(n_measured());
    Eigen::Index row = 0;
    for (const MeasuredWeight &weight : bow_case.measured.weights)
    {
      drawn.push_back(std::make_unique<DrawnBow>(at_draw(bow, weight.draw), bow.mesh, bow.solve, stop));
      ++solutions;
      if (stop != nullptr && stop->load())
        return {};
      if (!drawn.back()->results().complete)
      {
        reason = drawn.back()->results().reason;
        return {};
      }
      found[row++] = drawn.back()->results().draw_weight;
    }
    const BowInUse in_use = bow_in_use(bow);
    for (const MeasuredStrip *strip : flexed_strips())
      found[row++] = strip_deflection(*strip, lamination_of(*strip), in_use.bow.materials.at(lamination_of(*strip).material));
    f_drawn = f;
    return by_model = found;
  }

  /// Derivatives of what measured_by_model() found last.
  Eigen::MatrixXd rates() const
  {
    constexpr double small = 1e-6; // what is of second order does not show
    Eigen::MatrixXd rate = Eigen::MatrixXd::Zero(n_measured(), inputs());
    for (Eigen::Index j = 0; j < inputs(); ++j)
    {
      Eigen::VectorXd nudged = f_drawn;
      nudged[j] += small;
      const Case bow = with_factors(nudged);
      Eigen::Index row = 0;
      for (const auto &one : drawn)
      {
        const double draw = bow_case.measured.weights[static_cast<std::size_t>(row)].draw;
        rate(row, j) = (one->changed(at_draw(bow, draw)).draw_weight - by_model[row]) / small;
        ++row;
      }
      for (const MeasuredStrip *strip : flexed_strips())
      {
        if (lamination_of(*strip).material == moduli[static_cast<std::size_t>(j)].material)
          rate(row, j) = -by_model[row] / f_drawn[j];
        ++row;
      }
    }
    return rate;
  }

  Eigen::VectorXd accuracies() const { return of_each(&MeasuredWeight::accuracy, &MeasuredStrip::accuracy); }
  Eigen::VectorXd measured() const { return of_each(&MeasuredWeight::weight, &MeasuredStrip::deflection); }
  std::vector<const MeasuredStrip *> flexed_strips() const
  {
    std::vector<const MeasuredStrip *> strips;
    for (const MeasuredStrip &strip : bow_case.measured.strips)
      if (strip.flexed())
        strips.push_back(&strip);
    return strips;
  }

  // As the optimiser calls it.
  int operator()(const Eigen::VectorXd &q, Eigen::VectorXd &residual)
  {
    const Eigen::VectorXd f = factors(q), found = measured_by_model(f);
    if (found.size() != n_measured() || f_drawn.size() == 0)
      return -1;
    residual.head(n_measured()) = (found - measured()).cwiseQuotient(accuracies());
    for (Eigen::Index j = 0; j < inputs(); ++j)
      residual[n_measured() + j] = (f[j] - 1.) / moduli[static_cast<std::size_t>(j)].expected;
    if (told)
      told(fmt::format("full run {}", solutions));
    return 0;
  }
  int df(const Eigen::VectorXd &q, Eigen::MatrixXd &jacobian)
  {
    if (measured_by_model(factors(q)).size() != n_measured())
      return -1;
    jacobian.topRows(n_measured()) = accuracies().cwiseInverse().asDiagonal() * rates();
    jacobian.bottomRows(inputs()).setZero();
    for (Eigen::Index j = 0; j < inputs(); ++j)
    {
      jacobian(n_measured() + j, j) = 1. / moduli[static_cast<std::size_t>(j)].expected;
      jacobian.col(j) *= half(j) * std::cos(q[j]);
    }
    return 0;
  }

  int solutions = 0;
  std::string reason;

private:
  const Case &bow_case;
  std::vector<FittedModulus> moduli;
  const std::function<void(const std::string &)> &told;
  const std::atomic<bool> *stop;
  std::vector<std::unique_ptr<DrawnBow>> drawn; // one for each measured weight, with the factors f_drawn
  Eigen::VectorXd f_drawn, by_model;

  // A number of every measurement, in the order of the residuals.
  Eigen::VectorXd of_each(double MeasuredWeight::*of_weight, double MeasuredStrip::*of_strip) const
  {
    Eigen::VectorXd all(n_measured());
    Eigen::Index row = 0;
    for (const MeasuredWeight &weight : bow_case.measured.weights)
      all[row++] = weight.*of_weight;
    for (const MeasuredStrip *strip : flexed_strips())
      all[row++] = strip->*of_strip;
    return all;
  }
  double middle(Eigen::Index j) const
  {
    const FittedModulus &m = moduli[static_cast<std::size_t>(j)];
    return 0.5 * (m.lowest + m.highest);
  }
  double half(Eigen::Index j) const
  {
    const FittedModulus &m = moduli[static_cast<std::size_t>(j)];
    return 0.5 * (m.highest - m.lowest);
  }
  static BowDescription at_draw(const Case &bow, double draw)
  {
    BowDescription description = bow_in_use(bow).bow;
    description.full_draw = draw;
    return description;
  }
  const LaminationDescription &lamination_of(const MeasuredStrip &strip) const
  {
    const auto &list = bow_case.bow.upper.laminations;
    return *std::find_if(list.begin(), list.end(), [&](const auto &one) { return one.name == strip.lamination; });
  }
};

/// Pairs of which one combination is told by the measurements and the other is left as it was expected. covariance: of the
/// factors over what was expected of them.
std::vector<std::pair<std::size_t, std::size_t>> pairs_not_apart(const Eigen::MatrixXd &covariance)
{
  std::vector<std::pair<std::size_t, std::size_t>> pairs;
  for (Eigen::Index i = 0; i < covariance.rows(); ++i)
    for (Eigen::Index j = i + 1; j < covariance.rows(); ++j)
    {
      Eigen::Matrix2d both;
      both << covariance(i, i), covariance(i, j), covariance(j, i), covariance(j, j);
      const Eigen::SelfAdjointEigenSolver<Eigen::Matrix2d> solver(both); // ascending
      const Eigen::Vector2d untold = solver.eigenvectors().col(1);
      // Of variances of one before anything was measured: the untold one is more than a half, the told one less than a quarter of
      // it, and neither is one material's alone.
      if (solver.eigenvalues()[1] > 0.5 && solver.eigenvalues()[0] < 0.25 * solver.eigenvalues()[1] &&
          untold.cwiseAbs().minCoeff() > 0.3)
        pairs.emplace_back(i, j);
    }
  return pairs;
}

std::vector<FittedMeasurement> measurements_of(const Case &bow_case, const Misfit &misfit)
{
  std::vector<FittedMeasurement> list;
  for (const MeasuredWeight &weight : bow_case.measured.weights)
    list.push_back({"weight at " + draw_told(bow_case, weight.draw), true, weight.weight, weight.accuracy, 0., 0.});
  for (const MeasuredStrip *strip : misfit.flexed_strips())
    list.push_back({"sag of " + strip->name, false, strip->deflection, strip->accuracy, 0., 0.});
  return list;
}
} // namespace

ModulusFit fit_moduli(const Case &bow_case, const ScatterSizes &expected, const std::function<void(const std::string &)> &told,
                      const std::atomic<bool> *stop)
{
  ModulusFit fit;
  fit.moduli = moduli_of(bow_case, expected);
  Misfit misfit(bow_case, fit.moduli, told, stop);
  if (misfit.n_measured() == 0 || fit.moduli.empty())
  {
    fit.reason = fit.moduli.empty() ? "every modulus is taken as known"
                                    : "nothing was measured; give [[measured.weight]], or [[measured.strip]] with a deflection";
    return fit;
  }
  fit.measurements = measurements_of(bow_case, misfit);
  const auto finish = [&](bool complete)
  {
    fit.complete = complete;
    fit.interrupted = stop != nullptr && stop->load();
    fit.solutions = misfit.solutions;
    if (!complete)
      fit.reason = "the bow cannot be drawn to the length at which it was weighed: " + misfit.reason;
    return fit;
  };
  const Eigen::VectorXd before = misfit.measured_by_model(Eigen::VectorXd::Ones(misfit.inputs()));
  if (before.size() != misfit.n_measured())
    return finish(false);
  Eigen::VectorXd q = misfit.start();
  Eigen::LevenbergMarquardt<Misfit> optimiser(misfit);
  optimiser.parameters.ftol = 1e-3; // of the sum of squares: far less than the measurements tell
  optimiser.parameters.xtol = 1e-4;
  optimiser.parameters.factor = 1.;
  optimiser.parameters.maxfev = 25;
  const auto status = optimiser.minimize(q);
  const Eigen::VectorXd f = misfit.factors(q), after = misfit.measured_by_model(f);
  if (after.size() != misfit.n_measured() || status == Eigen::LevenbergMarquardtSpace::UserAsked)
    return finish(false);
  for (std::size_t i = 0; i < fit.measurements.size(); ++i)
  {
    fit.measurements[i].before = before[static_cast<Eigen::Index>(i)];
    fit.measurements[i].after = after[static_cast<Eigen::Index>(i)];
  }
  Eigen::VectorXd deviation(misfit.inputs());
  for (Eigen::Index j = 0; j < deviation.size(); ++j)
    deviation[j] = fit.moduli[static_cast<std::size_t>(j)].expected;
  const Eigen::MatrixXd rates = misfit.accuracies().cwiseInverse().asDiagonal() * misfit.rates() * deviation.asDiagonal();
  const Eigen::MatrixXd information = rates.transpose() * rates + Eigen::MatrixXd::Identity(misfit.inputs(), misfit.inputs());
  const Eigen::MatrixXd covariance = information.inverse();
  for (Eigen::Index j = 0; j < deviation.size(); ++j)
  {
    fit.moduli[static_cast<std::size_t>(j)].factor = f[j];
    fit.moduli[static_cast<std::size_t>(j)].known_to = deviation[j] * std::sqrt(covariance(j, j));
  }
  fit.not_apart = pairs_not_apart(covariance);
  fit.fitted = misfit.with_factors(f);
  return finish(true);
}

std::string fitted_text(const std::string &case_text, const Case &bow_case, const ModulusFit &fit)
{
  std::string text = case_text;
  for (const FittedModulus &modulus : fit.moduli)
  {
    const Material &old = bow_case.bow.materials.at(modulus.material);
    const OrthotropicConstants &c = fit.fitted.bow.materials.at(modulus.material).constants;
    const std::string table = "material." + modulus.material;
    if (text.find("[" + table + "]") == std::string::npos &&
        text.find("[material.\"" + modulus.material + "\"]") == std::string::npos)
      text += fmt::format("\n[{0}]\nbased_on = \"{1}\"\n", table, modulus.material);
    for (const auto &[key, value] :
         {std::pair{"E_L", c.E_L}, {"E_R", c.E_R}, {"E_T", c.E_T}, {"G_LR", c.G_LR}, {"G_LT", c.G_LT}, {"G_RT", c.G_RT}})
    {
      // The conditions of the source stay: by them the moisture counts.
      const auto source = old.sources.find(key);
      const EditedCase edited =
          with_value(text, table + "." + key,
                     fmt::format("{{value = \"{:.7g} GPa\", provenance = \"derived\", source = \"fitted to measurements of this "
                                 "bow, {:.4f} times the value before\", conditions = \"{}\"}}",
                                 value / gigapascal, modulus.factor,
                                 source == old.sources.end() ? std::string{} : source->second.conditions));
      if (!edited.error.empty())
        throw std::logic_error("a fitted modulus cannot be written: " + edited.error);
      text = edited.text;
    }
  }
  return text;
}
} // namespace limbwright
