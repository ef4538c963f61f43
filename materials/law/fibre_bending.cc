#include "materials/law/fibre_bending.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
FibreBar::FibreBar(const CrushingLaw &law, const double E_L, const double width, const double depth, const std::size_t n_fibres)
    : law_(law), E_(E_L), width_(width), depth_(depth), plastic_(n_fibres, 0.)
{
}

double FibreBar::below_middle(const std::size_t fibre) const
{
  return depth_ * ((static_cast<double>(fibre) + .5) / static_cast<double>(plastic_.size()) - .5);
}

double FibreBar::force(const double strain_at_middle) const
{
  double sum = 0.;
  for (std::size_t i = 0; i < plastic_.size(); ++i)
  {
    const double elastic = E_ * (strain_at_middle - curvature_ * below_middle(i));
    sum += elastic + E_ * plastic_strain_after(law_, E_, -elastic, plastic_[i]);
  }
  return sum * width_ * depth_ / static_cast<double>(plastic_.size());
}

void FibreBar::bend_to(const double curvature)
{
  curvature_ = curvature;
  // No fibre can be shorter or longer than this without a force on the bar.
  const double most = .5 * depth_ * std::abs(curvature) + *std::max_element(plastic_.begin(), plastic_.end());
  double low = -most, high = most;
  for (int i = 0; i < 60; ++i)
  {
    middle_strain_ = .5 * (low + high);
    (force(middle_strain_) > 0. ? high : low) = middle_strain_;
  }
  for (std::size_t i = 0; i < plastic_.size(); ++i)
    plastic_[i] = plastic_strain_after(law_, E_, -E_ * (middle_strain_ - curvature_ * below_middle(i)), plastic_[i]);
}

void FibreBar::unload()
{
  // Elastic, so the moment is linear in the curvature; a second step takes up what does crush.
  for (int i = 0; i < 2; ++i)
    bend_to(curvature_ - moment() / (E_ * width_ * depth_ * depth_ * depth_ / 12.));
}

double FibreBar::stress(const std::size_t fibre) const
{
  return E_ * (middle_strain_ - curvature_ * below_middle(fibre) + plastic_[fibre]);
}

double FibreBar::moment() const
{
  double sum = 0.;
  for (std::size_t i = 0; i < plastic_.size(); ++i)
    sum -= stress(i) * below_middle(i);
  return sum * width_ * depth_ / static_cast<double>(plastic_.size());
}

double FibreBar::back_strain() const
{
  return middle_strain_ + .5 * depth_ * curvature_;
}

double FibreBar::belly_strain() const
{
  return .5 * depth_ * curvature_ - middle_strain_;
}

double FibreBar::back_stress() const
{
  return E_ * (back_strain() + plastic_.front());
}

double FibreBar::belly_stress() const
{
  return E_ * (plastic_.back() - belly_strain());
}

double bending_strength(const CrushingLaw &law, const double E_L, const double tension_L)
{
  constexpr std::size_t n_fibres = 500;
  constexpr int n_steps = 300;
  // The back strain grows with the curvature; first the curvature at which it breaks, then the largest moment on the way there.
  const double limit = tension_L / E_L;
  double low = 0., high = 2. * limit;
  const auto back = [&](const double curvature)
  {
    FibreBar bar(law, E_L, 1., 1., n_fibres);
    bar.bend_to(curvature);
    return bar.back_strain();
  };
  while (back(high) < limit && high < 100. * limit)
    high *= 2.;
  for (int i = 0; i < 40; ++i)
  {
    const double middle = .5 * (low + high);
    (back(middle) < limit ? low : high) = middle;
  }
  FibreBar bar(law, E_L, 1., 1., n_fibres);
  double largest = 0.;
  for (int i = 1; i <= n_steps; ++i)
  {
    bar.bend_to(low * i / n_steps);
    largest = std::max(largest, bar.moment());
  }
  return 6. * largest;
}
} // namespace limbwright
