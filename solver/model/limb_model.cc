#include "solver/model/limb_model.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
double LimbModel::nearest_column(double station) const
{
  const auto &columns = column_stations();
  return *std::min_element(columns.begin(), columns.end(),
                           [&](double a, double b) { return std::abs(a - station) < std::abs(b - station); });
}
} // namespace limbwright
