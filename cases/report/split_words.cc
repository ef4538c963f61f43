#include "cases/report/split_words.h"

#include "cases/report/words.h"
#include "meshing/shape/splits.h"

namespace limbwright
{
namespace
{
bool of_split(const LimbDescription &limb, int line)
{
  const auto &glue = limb.glue;
  return line >= 0 && static_cast<std::size_t>(line) < glue.size() && glue[static_cast<std::size_t>(line)].of_split;
}
} // namespace

bool in_split(const Case &bow_case, const HotSpot &spot)
{
  return of_split(limb_of(bow_case, spot.limb), spot.glue_line);
}

bool in_split(const Case &bow_case, const Event &event)
{
  return of_split(limb_of(bow_case, event.limb), event.glue_line);
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
    return "wood shearing along the grain there";
  case FailureMode::glue_peel:
    return splinter ? "splinter lifting" : "wood pulling apart across the grain there";
  case FailureMode::glue_mixed:
    return splinter ? "splinter lifting and sliding" : "wood pulling apart and shearing there";
  case FailureMode::patch_growth:
    return splinter ? "splinter tearing farther" : "split growing";
  default:
    return mode_words(spot.mode);
  }
}

std::string happening_words(const Case &bow_case, const Event &event)
{
  if (!in_split(bow_case, event))
    return event_words(event.kind);
  const bool splinter = lifts_splinter(limb_of(bow_case, event.limb), static_cast<std::size_t>(event.glue_line));
  switch (event.kind)
  {
  case Event::Kind::glue_past_strength:
    return "the wood at the end of the split would let go";
  case Event::Kind::patch_could_grow:
    return splinter ? "the splinter has the energy to tear farther" : "the split has the energy to grow";
  case Event::Kind::layer_buckles:
    return splinter ? "the splinter buckles up" : "the sliver over the split buckles";
  default:
    return event_words(event.kind);
  }
}
} // namespace limbwright
