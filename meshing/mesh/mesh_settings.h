#pragma once

#include <vector>

namespace limbwright
{
/// A stretch of the limb where columns are to be no longer than a length.
struct FineZone
{
  double from = 0., to = 0.; //!< [m] stations
  double length = 0.;        //!< [m]
};

struct MeshSettings
{
  double column_length = 0.;     //!< [m] element length along the limb away from ends; 0: limb length / 120
  int rows_per_lamination = 0;   //!< elements through each lamination; 0: chosen by its thickness
  double row_height = 1.6e-3;    //!< [m] target element height where rows_per_lamination is 0; higher in very thick laminations
  double end_refinement = 0.125; //!< [1] element length at a layer end, or the end of a patch of glue, over the thinnest
                                 //!< neighbour's full thickness; 0: none
  double growth = 1.5;           //!< [1] largest ratio of neighbouring element lengths
  std::vector<FineZone> fine_zones{};
  int strips = 2;              //!< of a solid: elements across half the width
  double edge_refinement = 0.; //!< [1] of a solid: element width at its edges over the thickness of the thinnest lamination
                               //!< beside a glue line, growing inward; 0: none
  bool half_width = true;      //!< of a solid: only one half is meshed, its mirror image understood
};
} // namespace limbwright
