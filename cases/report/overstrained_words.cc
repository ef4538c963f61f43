#include "cases/report/overstrained_words.h"

#include "cases/report/output_units.h"
#include "cases/report/text_layout.h"
#include "cases/report/trade_figures.h"
#include "cases/report/words.h"

#include <fmt/core.h>

#include <algorithm>
#include <vector>

namespace limbwright
{
namespace
{
/// Thickest stack of a limb that bends, glue included. [m]
SectionState thickest(const LimbSnapshot &limb)
{
  return *std::max_element(limb.sections.begin(), limb.sections.end(),
                           [](const SectionState &a, const SectionState &b) { return a.stack < b.stack; });
}
} // namespace

std::string overstrained_words(const Case &bow_case, const DrawResults &results)
{
  const Snapshot *at_brace = braced(results);
  if (at_brace == nullptr)
    return {};
  for (const LimbSnapshot &limb : at_brace->limbs)
  {
    const LimbDescription &described = limb_of(bow_case, limb.limb);
    // Set is no failure: a belly may take some.
    std::vector<double> worst(described.laminations.size(), 0.);
    for (const HotSpot &spot : at_brace->worst)
      if (spot.limb == limb.limb && spot.lamination >= 0 && spot.mode != FailureMode::belly_set)
      {
        double &index = worst.at(static_cast<std::size_t>(spot.lamination));
        index = std::max(index, spot.index);
      }
    if (limb.sections.empty() || std::any_of(worst.begin(), worst.end(), [](double index) { return index < 1.; }))
      continue;
    const SectionState deep = thickest(limb);
    return wrapped(fmt::format("  CHECK THE BOW FILE: every layer{} is past its strength before the bow is braced; such a bow "
                               "breaks while it is strung. Usual causes: a wrong unit, a wrong material, or a limb far too thick "
                               "for its length ({:.3g} in thick at {:.1f} in from center, {:.3g} in long).",
                               results.symmetric ? "" : " of the " + limb_words(limb.limb, false), deep.stack / inch,
                               deep.station / inch, (described.tip_station - described.root_station) / inch),
                   2) +
           "\n\n";
  }
  return {};
}
} // namespace limbwright
