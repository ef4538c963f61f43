#pragma once

#include "materials/law/cohesive.h"

#include <vector>

namespace limbwright
{
/// What the points of a limb remember of the states they went through. An empty list: nothing happened yet.
struct History
{
  std::vector<double> crushed;     //!< [1] plastic shortening along the grain, by lamination at each point integrated with
  std::vector<CohesiveState> glue; //!< by glue element, three nodes each; of those that can part
};
} // namespace limbwright
