#pragma once

#include "materials/material.h"
#include "meshing/shape/limb_shape.h"

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
/// A cross-section that stays plane, as fibres along the limb; wood yields as the limb's does. For bounds only.
class BendingSection
{
public:
  /// materials: in use.
  BendingSection(const LimbShape &shape, const std::map<std::string, Material> &materials, bool wood_yields, double station);

  /// By how much the section strains more [1] when a share of the width of a lamination bears nothing: of its curvature and of
  /// the strains at its belly and back the one that rises most. The moment is that at a change of curvature of the whole section
  /// [1/m], positive when it bends toward the archer; from nothing, in one way. Infinite where what is left cannot bear it.
  double strains_more(double curvature, std::size_t lamination, double width_share) const;

private:
  struct Fibre
  {
    double depth = 0., area = 0., E = 0.; //!< [m], [m2], [Pa]
    const CrushingLaw *law = nullptr;
    std::size_t lamination = 0;
  };
  std::vector<std::optional<CrushingLaw>> laws; // by lamination
  std::vector<Fibre> fibres;
  double back = 0., belly = 0.; // [m] depths of the faces

  struct Bent
  {
    double moment = 0., strain_at_datum = 0.; //!< [N m], [1]
  };
  Bent bend(double curvature, std::size_t lamination, double share_left, double start) const;
};
} // namespace limbwright
