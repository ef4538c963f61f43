#pragma once

#include "materials/law/crushing.h"

#include <cstddef>
#include <vector>

namespace limbwright
{
/// A rectangular bar in bending as a stack of fibres that yield in compression by a CrushingLaw and are elastic in tension; plane
/// sections, no axial force. Remembers what has crushed. Fibre 0 lies at the back (the tension side).
class FibreBar
{
public:
  /// E_L [Pa], width and depth [m].
  FibreBar(const CrushingLaw &law, double E_L, double width, double depth, std::size_t n_fibres = 2000);

  /// Bends the bar to a curvature [1/m], positive: back in tension. The moment is at rest there, forward or back.
  void bend_to(double curvature);
  /// Lets go to the curvature without moment; nothing crushes on the way unless the belly has to be pulled straight.
  void unload();

  double curvature() const { return curvature_; }
  double moment() const;       //!< [N m]
  double back_strain() const;  //!< [1] at the face, stretching
  double belly_strain() const; //!< [1] at the face, shortening positive
  double back_stress() const;  //!< [Pa] at the face, tension positive
  double belly_stress() const; //!< [Pa] at the face, tension positive; its plastic strain is that of the last fibre
  double stress(std::size_t fibre) const;
  double plastic_strain(std::size_t fibre) const { return plastic_[fibre]; }

private:
  double below_middle(std::size_t fibre) const; //!< [m] of the fibre's middle
  double force(double strain_at_middle) const;  //!< [N] at the present curvature

  CrushingLaw law_;
  double E_, width_, depth_;
  double curvature_ = 0., middle_strain_ = 0.;
  std::vector<double> plastic_; //!< [1] shortening
};

/// Bending strength of the standard test by this model [Pa]: the largest moment over b h^2/6 up to the strain tension_L/E_L on
/// the back. With a falling branch the belly may give way before the back breaks. Stresses [Pa].
double bending_strength(const CrushingLaw &law, double E_L, double tension_L);
} // namespace limbwright
