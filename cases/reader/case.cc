#include "cases/reader/case.h"

namespace limbwright
{
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
    return "to the grip's pivot point plus 1.75 in";
  case DrawConvention::back_of_bow:
    return "to the back of the bow at the handle";
  case DrawConvention::pivot:
    break;
  }
  return "to the grip's pivot point";
}
} // namespace limbwright
