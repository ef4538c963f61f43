#pragma once

#include <array>
#include <filesystem>
#include <map>
#include <string>
#include <vector>

namespace limbwright::picture
{
/// One saved state of the limb, as its field file has it. The bow's frame: x toward the target, y toward the upper tip.
struct LimbFields
{
  std::vector<std::array<double, 2>> places;   //!< [in] by node, displaced
  std::vector<double> strain;                  //!< [%] along the grain, as judged, by node
  std::vector<double> index;                   //!< [1] the greatest of those that are told to people, by node
  std::vector<double> station;                 //!< [in] along the back, by node
  std::vector<std::array<long long, 9>> cells; //!< nodes in VTK's order of a biquadratic quadrilateral
};

/// A row of draw_curve.csv. [in], the draw from the pivot to the nocking point
struct StringPlace
{
  double draw, tip_x, tip_y;
};

struct GlueCurve
{
  std::string name;
  std::vector<double> station; //!< [in]
  std::vector<double> shear;   //!< [psi] averaged over a short length, as the glue is judged
};

/// What the pictures need of a results folder.
struct ResultsData
{
  std::string title;
  double draw_weight = 0.;  //!< [lbf]
  double draw_told = 0.;    //!< [in] in the case's convention
  double brace_height = 0.; //!< [in]
  LimbFields unstrung, braced, drawn;
  StringPlace string_braced{}, string_drawn{};
  std::vector<GlueCurve> glue; //!< from the belly
};

/// Throws std::runtime_error, naming the file, when the folder is not a whole results folder of a bow that was drawn.
ResultsData read_results(const std::filesystem::path &folder);
} // namespace limbwright::picture
