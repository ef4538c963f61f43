#pragma once

#include <vector>

namespace limbwright
{
/// Supports of a whole cross-section. Directions are those of the unstrung limb there: normal = along the limb, transverse =
/// along the back's normal.
struct SectionSupport
{
  double station = 0.;          //!< [m] one of the mesh's column stations
  bool normal = false;          //!< no displacement along the limb at any node (no rotation either; Poisson strain stays free)
  bool transverse = false;      //!< no transverse displacement at any node
  bool mean_transverse = false; //!< no transverse displacement in the mean; of a solid neither across the width, and no twist
  bool across = false;          //!< of a solid: no displacement across the width at any node
};

/// A support at the node nearest to a place in the middle plane.
struct NodeSupport
{
  double station = 0.;     //!< [m]
  double depth = 0.;       //!< [m] below the back datum
  bool along = false;      //!< along the limb
  bool transverse = false; //!< along the back's normal
  bool across = false;     //!< of a solid
};

/// The middle plane of a solid that is half as wide is always held in itself.
struct Supports
{
  std::vector<SectionSupport> sections;
  std::vector<NodeSupport> nodes;
  bool plane_strain = false; //!< of a solid: no displacement across the width anywhere

  /// The rigid handle's hold on the limb's end face: rotation fixed, Poisson strain free, mean place fixed.
  static Supports clamp(double root_station) { return {{{root_station, true, false, true}}, {}, false}; }
};
} // namespace limbwright
