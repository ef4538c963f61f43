#include "cases/reader/case.h"

namespace limbwright
{
namespace
{
/// The upper limb's stack half way along what bends, without glue, and the length that bends.
StressedSize stressed_size(const LimbDescription &limb)
{
  const double middle = .5 * (limb.root_station + limb.tip_station);
  StressedSize size{0., limb.tip_station - limb.root_station};
  for (const LaminationDescription &lamination : limb.laminations)
    if (middle > lamination.start && middle < lamination.end)
      size.depth += lamination.thickness.at(middle);
  return size;
}
} // namespace

BowInUse bow_in_use(const Case &bow_case)
{
  BowInUse result{bow_case.bow, {}, {}};
  const StressedSize size = stressed_size(bow_case.bow.upper);
  for (auto &[name, material] : result.bow.materials)
    material = adjusted(material, bow_case.conditions, size, result.adjustments);
  for (const auto &[name, adhesive] : result.bow.adhesives)
    if (softens(adhesive, bow_case.conditions, result.adjustments))
      result.soft_glues.push_back(name);
  return result;
}

double convention_offset(const Case &bow_case)
{
  switch (bow_case.convention)
  {
  case DrawConvention::pivot_plus_1_75_in:
    return 1.75 * 0.0254;
  case DrawConvention::back_of_bow:
    return bow_case.throat_to_back;
  case DrawConvention::pivot:
    break;
  }
  return 0.;
}

std::string convention_words(DrawConvention convention)
{
  switch (convention)
  {
  case DrawConvention::pivot_plus_1_75_in:
    return "from the throat of the grip plus 1.75 in";
  case DrawConvention::back_of_bow:
    return "from the back of the bow at the handle";
  case DrawConvention::pivot:
    break;
  }
  return "from the throat of the grip";
}
} // namespace limbwright
