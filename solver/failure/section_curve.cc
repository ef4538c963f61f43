#include "solver/failure/section_curve.h"

#include "materials/law/wood_bending.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
constexpr double spacing = 0.0125; // [m] of draw between readings, at most

using Forces = std::vector<std::vector<FibreSection::Group>>; // by cut

bool same_groups(const Forces &a, const Forces &b)
{
  return std::equal(a.begin(), a.end(), b.begin(), b.end(),
                    [](const auto &one, const auto &other)
                    {
                      return std::equal(one.begin(), one.end(), other.begin(), other.end(),
                                        [](const auto &x, const auto &y) { return x.first == y.first && x.last == y.last; });
                    });
}

// The sum of factor times forces.
Forces combined(const std::vector<std::pair<double, const Forces *>> &terms)
{
  Forces sum = *terms.front().second;
  for (std::size_t cut = 0; cut < sum.size(); ++cut)
    for (std::size_t g = 0; g < sum[cut].size(); ++g)
    {
      sum[cut][g].forces = {};
      for (const auto &[factor, forces] : terms)
        sum[cut][g].forces = sum[cut][g].forces + (*forces)[cut][g].forces * factor;
    }
  return sum;
}

// Factors of the steps' values in the slope [1/m] at step i: of the parabola through it and its neighbors.
std::map<std::size_t, double> slope_factors(const std::vector<double> &draws, std::size_t i)
{
  const std::size_t n = draws.size();
  if (n == 2)
    return {{0, -1. / (draws[1] - draws[0])}, {1, 1. / (draws[1] - draws[0])}};
  const std::size_t a = std::clamp<std::size_t>(i, 1, n - 2) - 1, b = a + 1, c = a + 2;
  const double x = draws[i], xa = draws[a], xb = draws[b], xc = draws[c];
  return {{a, (2. * x - xb - xc) / ((xa - xb) * (xa - xc))},
          {b, (2. * x - xa - xc) / ((xb - xa) * (xb - xc))},
          {c, (2. * x - xa - xb) / ((xc - xa) * (xc - xb))}};
}
} // namespace

template <int dim>
SectionCurve section_curve(const LimbSections<dim> &sections, const std::vector<double> &stations,
                           const std::vector<SectionStep<dim>> &steps,
                           const std::function<const Material &(int lamination)> &material)
{
  SectionCurve curve;
  const auto read = [&](double draw, const std::vector<FibreSectionState> &states)
  {
    curve.draws.push_back(draw);
    SectionPeak yielded;
    std::map<std::pair<int, FailureMode>, SectionPeak> peaks;
    const auto offer = [](SectionPeak &peak, double value, double station)
    {
      if (value > peak.value)
        peak = {value, station};
    };
    for (std::size_t c = 0; c < states.size(); ++c)
    {
      const auto &cut = sections.cuts()[c];
      if (!states[c].found)
        continue;
      const double station = stations[cut.station];
      offer(yielded, cut.section.yielded(states[c]), station);
      for (std::size_t p = 0; p < cut.section.points().size(); ++p)
      {
        const SectionStress stress = cut.section.along(p, states[c]);
        const int l = cut.section.points()[p].lamination;
        const Material &wood = material(l);
        const Strengths &s = wood.strengths;
        if (stress.along > 0.)
          offer(peaks[{l, FailureMode::tension_along}], stress.along / s.tension_L, station);
        else if (wood.kind == MaterialKind::wood)
        {
          const double E_L = wood.constants.E_L;
          offer(peaks[{l, FailureMode::belly_set}], -stress.strain * E_L / s.compression_L, station);
          offer(peaks[{l, FailureMode::belly_crushing}], -stress.strain / crushing_strain(s.compression_L, s.tension_L, E_L),
                station);
        }
      }
    }
    curve.yielded.push_back(yielded);
    for (const auto &[key, peak] : peaks)
    {
      auto &values = curve.by_lamination[key];
      values.resize(curve.draws.size() - 1);
      values.push_back(peak);
    }
  };
  std::vector<double> draws;
  for (const auto &step : steps)
    draws.push_back(step.draw);
  for (std::size_t i = 0; i < steps.size(); ++i)
  {
    // Not where glue has parted nearby: the section is another then.
    const auto alike = [&](const auto &step) { return same_groups(step.forces, steps[i].forces); };
    if (i > 0 && std::all_of(steps.begin() + static_cast<std::ptrdiff_t>(std::max<std::size_t>(i, 2) - 2),
                             steps.begin() + static_cast<std::ptrdiff_t>(std::min(i + 2, steps.size())), alike))
    {
      const double from = draws[i - 1], h = draws[i] - from;
      const int n = static_cast<int>(std::ceil(h / spacing));
      std::vector<FibreSectionState> states = steps[i - 1].states;
      for (int k = 1; k < n; ++k)
      {
        const double t = static_cast<double>(k) / n;
        std::map<std::size_t, double> factors{{i - 1, (1. + 2. * t) * (1. - t) * (1. - t)}, {i, t * t * (3. - 2. * t)}};
        for (const auto &[step, factor] : slope_factors(draws, i - 1))
          factors[step] += h * t * (1. - t) * (1. - t) * factor;
        for (const auto &[step, factor] : slope_factors(draws, i))
          factors[step] += h * t * t * (t - 1.) * factor;
        std::vector<std::pair<double, const Forces *>> terms;
        for (const auto &[step, factor] : factors)
          terms.emplace_back(factor, &steps[step].forces);
        states = sections.solve(combined(terms), states);
        read(from + t * h, states);
      }
    }
    read(draws[i], steps[i].states);
  }
  for (auto &[key, values] : curve.by_lamination)
    values.resize(curve.draws.size());
  return curve;
}

template SectionCurve section_curve(const LimbSections<2> &, const std::vector<double> &, const std::vector<SectionStep<2>> &,
                                    const std::function<const Material &(int)> &);
template SectionCurve section_curve(const LimbSections<3> &, const std::vector<double> &, const std::vector<SectionStep<3>> &,
                                    const std::function<const Material &(int)> &);
} // namespace limbwright
