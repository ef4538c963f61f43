#include "cases/report/split_words.h"

#include "cases/report/words.h"
#include "meshing/shape/splits.h"

namespace limbwright
{
bool in_split(const Case &bow_case, const HotSpot &spot)
{
  const auto &glue = limb_of(bow_case, spot.limb).glue;
  return spot.glue_line >= 0 && static_cast<std::size_t>(spot.glue_line) < glue.size() &&
         glue[static_cast<std::size_t>(spot.glue_line)].of_split;
}

std::string split_name(const LimbDescription &limb, int line)
{
  const std::string &piece = limb.laminations[static_cast<std::size_t>(line)].name;
  return "split in " + piece.substr(0, piece.rfind(", "));
}

std::string failure_words(const Case &bow_case, const HotSpot &spot)
{
  if (!in_split(bow_case, spot))
    return mode_words(spot.mode);
  const bool splinter = lifts_splinter(limb_of(bow_case, spot.limb), static_cast<std::size_t>(spot.glue_line));
  switch (spot.mode)
  {
  case FailureMode::glue_shear:
    return "the wood there shearing along the grain";
  case FailureMode::glue_peel:
    return splinter ? "the splinter lifting" : "the wood there pulled open";
  case FailureMode::glue_mixed:
    return splinter ? "the splinter lifting and sliding" : "the wood there pulled open and sheared together";
  case FailureMode::patch_growth:
    return splinter ? "the splinter tearing farther" : "the split growing longer";
  default:
    return mode_words(spot.mode);
  }
}
} // namespace limbwright
