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
  bool mean_transverse = false; //!< no transverse displacement in the mean
};

/// A support at the node nearest to a place.
struct NodeSupport
{
  double station = 0.;     //!< [m]
  double depth = 0.;       //!< [m] below the back datum
  bool along = false;      //!< along the limb
  bool transverse = false; //!< along the back's normal
};

struct Supports
{
  std::vector<SectionSupport> sections;
  std::vector<NodeSupport> nodes;

  /// The rigid handle's hold on the limb's end face: rotation fixed, Poisson strain free, mean place fixed.
  static Supports clamp(double root_station) { return {{{root_station, true, false, true}}, {}}; }
};
} // namespace limbwright
