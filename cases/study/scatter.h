#pragma once

#include "cases/reader/case.h"
#include "materials/wood_variation.h"

#include <cstdint>
#include <string>
#include <vector>

namespace limbwright
{
/// How much what is built differs from what was drawn up: standard deviations of normal distributions, cut at three of them (what
/// is farther off is put aside in the shop). Every lamination has a thickness, a modulus, a strength and a density of its own;
/// like limbs are built alike. A stiff piece of wood is a strong one too: its strengths follow its modulus, and are off by
/// themselves besides (strength_over_species()).
struct ScatterSizes
{
  double wood_thickness = 0.002 * 0.0254;        //!< [m] of a ground strip or stave; our judgement
  double glass_thickness = 0.0007 * 0.0254;      //!< [m] of anything that is no wood or bamboo; our judgement
  double wood_modulus = wood_variation::modulus; //!< [1] whole species; a shop that takes its strips from one board, or weighs
                                                 //!< and flexes them, has less
  double glass_modulus = 0.03;                   //!< [1] our judgement
  double wood_density = wood_variation::density; //!< [1] specific gravity
  double wood_strength = wood_variation::compression.deviation; //!< [1] in compression along the grain; other strengths' scatter
                                                                //!< is to it as wood_variation.h has it
  double width = 0.012;                                         //!< [1] of every width alike; our judgement
  double draw = 0.25 * 0.0254;                                  //!< [m] the archer's draw; our judgement
  double brace = 0.125 * 0.0254;                                //!< [m] brace height; our judgement
};

/// "wood_modulus = 10 %", "draw = 0.2 in": sets one of them. Complains in `error`.
void set_scatter(ScatterSizes &sizes, const std::string &text, std::string &error);
/// All of them, one a line: "wood_thickness = 0.0020 in".
std::string scatter_words(const ScatterSizes &sizes);

/// One thing that scatters.
struct Tolerance
{
  enum class Kind
  {
    thickness,
    modulus,
    strength,
    density,
    width,
    draw,
    brace
  };
  Kind kind = Kind::thickness;
  int lamination = -1;   //!< index in each limb, or -1
  double deviation = 0.; //!< standard deviation; [m] or [1]
  std::string words;     //!< "thickness of belly-side maple"; a strength's is what it is off at the modulus that the piece has
};

/// What scatters in a bow; nothing whose deviation is zero.
std::vector<Tolerance> tolerances_of(const Case &bow_case, const ScatterSizes &sizes);

/// All moduli times a factor, strengths as they are.
void stiffen(Material &material, double factor);

/// The bow as one was built: off by `deviations`, one for each tolerance, independent of each other, in standard deviations.
Case as_built(const Case &bow_case, const std::vector<Tolerance> &tolerances, const std::vector<double> &deviations);

/// The i-th point of a batch, in standard deviations: Sobol's sequence (Joe and Kuo 2008, as Boost has it), shifted by a vector
/// that the seed gives (Cranley and Patterson 1976), through the inverse of the normal distribution. Any point can be had by
/// itself.
std::vector<double> batch_point(std::uint64_t i, std::size_t n_tolerances, std::uint64_t seed);
} // namespace limbwright
