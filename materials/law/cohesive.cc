#include "materials/law/cohesive.h"

#include <algorithm>
#include <cmath>
#include <cstdio>

namespace limbwright
{
namespace
{
// lambda, B and their derivatives by (opening, slip).
struct Mix
{
  double norm = 0., share = 0.;
  Eigen::Vector2d norm_gradient = Eigen::Vector2d::Zero(), share_gradient = Eigen::Vector2d::Zero();

  Mix(const CohesiveBond &bond, double opening, double slip)
  {
    const double open = std::max(0., opening);
    const double shear_part = bond.shear_stiffness * slip * slip, square = bond.normal_stiffness * open * open + shear_part;
    if (square <= 0.)
      return;
    norm = std::sqrt(square);
    share = shear_part / square;
    norm_gradient << bond.normal_stiffness * open / norm, bond.shear_stiffness * slip / norm;
    share_gradient << -2. * share * bond.normal_stiffness * open / square,
        2. * (1. - share) * bond.shear_stiffness * slip / square;
  }
};

// Value and derivative by the share of sliding.
struct OfShare
{
  double value, slope;
};

OfShare energy_at(const CohesiveBond &bond, double share)
{
  const double more = bond.fracture_energy_II - bond.fracture_energy_I, eta = bond.mixed_mode_exponent;
  return {bond.fracture_energy_I + more * std::pow(share, eta), share > 0. ? more * eta * std::pow(share, eta - 1.) : 0.};
}

OfShare onset_square_at(const CohesiveBond &bond, double share)
{
  const double normal = bond.normal_stiffness / (bond.normal_strength * bond.normal_strength),
               shear = bond.shear_stiffness / (bond.shear_strength * bond.shear_strength);
  const double square = 1. / ((1. - share) * normal + share * shear);
  return {square, square * square * (normal - shear)};
}

double damage_at(double fraction, double brittleness)
{
  return fraction > 0. ? fraction / (brittleness + fraction * (1. - brittleness)) : 0.;
}
} // namespace

CohesiveBond weakened(CohesiveBond bond, double share)
{
  bond.normal_strength *= share;
  bond.shear_strength *= share;
  bond.fracture_energy_I *= share;
  bond.fracture_energy_II *= share;
  return bond;
}

std::string unsound(const CohesiveBond &bond)
{
  for (const double value : {bond.normal_stiffness, bond.shear_stiffness, bond.normal_strength, bond.shear_strength,
                             bond.fracture_energy_I, bond.fracture_energy_II, bond.mixed_mode_exponent})
    if (!(value > 0.) || !std::isfinite(value))
      return "a bond that is to part needs stiffness, strength and fracture energy above zero, in opening and in sliding";
  for (int tenths = 0; tenths <= 10; ++tenths)
  {
    const double elastic = 0.5 * onset_square_at(bond, 0.1 * tenths).value, energy = energy_at(bond, 0.1 * tenths).value;
    if (elastic < energy)
      continue;
    char text[240];
    std::snprintf(
        text, sizeof text,
        "with %d %% of sliding the bond stores %.3g J/m2 at its strength, no less than its fracture energy of %.3g J/m2: "
        "it is too soft or too strong for that",
        10 * tenths, elastic, energy);
    return text;
  }
  return {};
}

double damage(const CohesiveState &state)
{
  return damage_at(state.fraction, state.brittleness);
}

double fracture_energy(const CohesiveBond &bond, double sliding_share)
{
  return energy_at(bond, sliding_share).value;
}

double stored_energy(const CohesiveBond &bond, const CohesiveState &state, double opening, double slip)
{
  const double pressed = std::min(0., opening), norm = Mix(bond, opening, slip).norm;
  return 0.5 * (1. - damage(state)) * norm * norm + 0.5 * bond.normal_stiffness * pressed * pressed;
}

CohesiveResponse cohesive_step(const CohesiveBond &bond, const CohesiveState &before, double opening, double slip,
                               double relaxation)
{
  const Mix mix(bond, opening, slip);
  const OfShare energy = energy_at(bond, mix.share);
  CohesiveResponse result;
  CohesiveState &now = result.state = before;
  now.norm = mix.norm;
  Eigen::Vector2d damage_gradient = Eigen::Vector2d::Zero();

  if (before.fraction < 1.)
  {
    // The brittleness is that of the present mix while the bond is whole.
    OfShare k{before.brittleness, 0.};
    if (before.fraction == 0.)
    {
      const OfShare onset = onset_square_at(bond, mix.share);
      k.value = 0.5 * onset.value / energy.value;
      k.slope = k.value * (onset.slope / onset.value - energy.slope / energy.value);
    }
    // r_law = (lambda / end - k) / (1 - k), end = sqrt(2 G_c / k) = lambda_f.
    const double end = std::sqrt(2. * energy.value / k.value), ratio = mix.norm / end, soft = 1. - k.value;
    const double asked = (ratio - k.value) / soft;
    if (asked > before.fraction)
    {
      const double target = std::min(1., asked);
      now.fraction = before.fraction + relaxation * (target - before.fraction);
      now.brittleness = k.value;
      // Work of the damage along a straight way of lambda: lambda_a lambda_b dD / 2, exact where lambda follows the law.
      const double spread = k.value + now.fraction * soft, spread_before = k.value + before.fraction * soft;
      const double start = std::max(before.norm, end * spread_before);
      const double taken = 0.5 * start * mix.norm * k.value * (now.fraction - before.fraction) / (spread * spread_before);
      const double spent = energy.value * (now.fraction - before.fraction);
      now.spent += spent;
      now.delayed += std::max(0., taken - spent);

      Eigen::Vector2d asked_gradient = Eigen::Vector2d::Zero();
      if (asked < 1.)
      {
        const double end_slope = 0.5 * (energy.slope / energy.value - k.slope / k.value); // over end
        asked_gradient = (mix.norm_gradient / end - (ratio * end_slope + k.slope) * mix.share_gradient) / soft +
                         (ratio - k.value) * k.slope / (soft * soft) * mix.share_gradient;
      }
      damage_gradient = k.value / (spread * spread) * relaxation * asked_gradient -
                        now.fraction * (1. - now.fraction) / (spread * spread) * k.slope * mix.share_gradient;
    }
  }

  const double whole = 1. - damage(now);
  // Faces that just touch, as those of an open patch before any load, are taken as free: the first iteration lets them part.
  const double normal = opening >= 0. ? whole * bond.normal_stiffness : bond.normal_stiffness,
               shear = whole * bond.shear_stiffness;
  result.traction << normal * opening, shear * slip;
  result.tangent = Eigen::Vector2d(normal, shear).asDiagonal();
  const Eigen::Vector2d elastic(bond.normal_stiffness * std::max(0., opening), bond.shear_stiffness * slip);
  result.tangent -= elastic * damage_gradient.transpose();
  return result;
}
} // namespace limbwright
