#pragma once

#include "cases/study/resize.h"
#include "solver/results.h"

#include <atomic>
#include <functional>

namespace limbwright
{
class BowPattern;

/// The bow drawn for its weight and its indices at full draw alone, as one of many: in the side view, no fields, nothing past
/// full draw. Let down once where `set` is asked for. pattern: a bow to which it is alike; null: none.
DrawResults draw_quickly(const Case &bow_case, bool set, const std::atomic<bool> *stop, const BowPattern *pattern = nullptr);

/// One bow that was tried.
struct SizingTrial
{
  double amount = 0.; //!< [m] or [1], see Resizing
  double weight = 0.; //!< [N]; NaN where the bow could not be drawn
};

struct Sizing
{
  bool reached = false;
  bool interrupted = false;
  std::string reason; //!< why not, in plain words; the amount is then that of the nearest weight
  double amount = 0.;
  Case sized;          //!< with the amount added
  DrawResults results; //!< of it
  std::vector<SizingTrial> trials;
};

/// How near a weight must come to the one asked for. [N] Half of the tenth of a pound to which it is told.
inline constexpr double weight_tolerance = 0.05 * 4.4482216152605;

/// Finds how much to add or take off to come to a weight [N]. Every trial is a whole solution; between them the weight goes as a
/// power of the beam's bending stiffness, at first one, then the power that fits the last two trials: most bows are there at the
/// third. `told` hears of every trial.
Sizing size_bow(const Case &bow_case, const Resizing &what, double weight, const std::function<void(const SizingTrial &)> &told,
                const std::atomic<bool> *stop);
} // namespace limbwright
