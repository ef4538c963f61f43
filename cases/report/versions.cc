#include "cases/report/versions.h"

#include <fmt/core.h>
#include <nlohmann/json.hpp>

#include <hdf5.h>

namespace limbwright
{
std::string program_version()
{
  return LIMBWRIGHT_VERSION;
}

std::map<std::string, std::string> library_versions()
{
  return {{"deal.II", LIMBWRIGHT_DEAL_II},
          {"VTK", LIMBWRIGHT_VTK},
          {"Eigen", LIMBWRIGHT_EIGEN},
          {"HDF5", H5_VERS_INFO},
          {"fmt", fmt::format("{}.{}.{}", FMT_VERSION / 10000, FMT_VERSION / 100 % 100, FMT_VERSION % 100)},
          {"nlohmann_json",
           fmt::format("{}.{}.{}", NLOHMANN_JSON_VERSION_MAJOR, NLOHMANN_JSON_VERSION_MINOR, NLOHMANN_JSON_VERSION_PATCH)},
          {"compiler", __VERSION__}};
}
} // namespace limbwright
