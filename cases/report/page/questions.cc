#include "cases/report/page/questions.h"
#include "cases/report/answer_parts.h"
#include "cases/report/flaw_words.h"
#include "cases/report/page/advice.h"
#include "cases/report/page/bending.h"
#include "cases/report/split_words.h"
#include "cases/report/trade_figures.h"
#include "cases/report/verdict.h"
#include "cases/report/words.h"
#include "meshing/shape/limb_shape.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
/// What is asked, and of whom.
struct Asked
{
  const Case &bow_case;
  const DrawResults &results;
  Units units;

  std::string place(const HotSpot &spot) const { return place_words(bow_case, spot, results.symmetric, units); }
  std::string force(double value) const { return told(value, told_force, units); }
  std::string draw(double value) const { return draw_told(bow_case, value, units); }
};

std::string weight(const Asked &a)
{
  const double w = a.results.draw_weight;
  return fmt::format("{} at {} of draw, measured {}; stacking {}. Boards of one wood differ by 10 or 20 % in stiffness, and the "
                     "weight goes with it: 10 % in every layer means {} to {}. Enter your own board's modulus where you can. "
                     "'limbwright size' says what to grind for another weight.",
                     a.force(w), a.draw(a.results.draw_length), convention_words(a.bow_case.convention),
                     told(a.results.rise_per_metre, told_rise, a.units), a.force(0.9 * w), a.force(1.1 * w));
}

std::string how_hard(const Asked &a)
{
  const auto text = unwrapped(balance_words(a.bow_case, verdict_of(a.bow_case, a.results), a.results.symmetric) + " " +
                              belly_wood_words(a.bow_case, a.results, a.units));
  return text.empty() ? "Not judged: no layer has a known strength. The charts show the strain and stress in each." : text;
}

std::string goes_first(const Asked &a)
{
  const auto ranked = verdict_of(a.bow_case, a.results).worst;
  if (ranked.empty())
    return "Not judged: no layer has a known strength.";
  const auto &spot = ranked.front();
  return fmt::format("{}: {} at {}{}; {}. Look for: {}", capital(a.place(spot)), failure_words(a.bow_case, spot),
                     strength_used(spot), load_and_limit(spot, a.units), when_it_fails(a.bow_case, a.results, spot, a.units),
                     advice_on(a.bow_case, spot).look);
}

std::string bends_right(const Asked &a)
{
  const auto *most = most_bent(a.results);
  const auto hinge = sharpest_bend(a.results);
  if (most == nullptr || !hinge)
    return "The bow was not drawn.";
  auto text = fmt::format("It bends most {} from center, to a radius of {} measured from the unstrung shape.",
                          told(most->station, told_draw, a.units), told(1. / most->curvature_change, told_draw, a.units));
  text +=
      hinge->over_mean > hinge_ratio
          ? fmt::format(
                " Look {} from center on {}{}: it bends {:.2f} times as much there as over three inches to either side, a hinge.",
                told(hinge->station, told_draw, a.units), a.results.symmetric ? "" : "the ",
                limb_words(hinge->limb, a.results.symmetric), hinge->over_mean)
          : fmt::format(" No hinge: no spot bends more than {:.2f} times as much as its surroundings (a hinge is {} or more).",
                        hinge->over_mean, hinge_ratio);
  return text + " Compare the outlines below with a photo on the tillering tree.";
}

std::string glue_safe(const Asked &a)
{
  const auto worst = verdict_of(a.bow_case, a.results).glue;
  if (!worst)
    return "No glue line, or none with a known strength.";
  auto text = fmt::format("Worst: {}, {} at {}{}. ", a.place(*worst), failure_words(a.bow_case, *worst), strength_used(*worst),
                          load_and_limit(*worst, a.units));
  if (worst->index >= 1.)
    return text + "Over 100 %: the glue lets go there, unless it can soften.";
  if (measure_of(worst->mode) == Measure::energy)
    return text + "It holds if the glue is as tough as assumed here; a starved or dirty line is less so.";
  return text + fmt::format("The bond there has to reach {:.0f} % of the strength assumed here; a starved or dirty line has "
                            "less, and flaws decide.",
                            std::ceil(100. * worst->index));
}

std::string drawn_farther(const Asked &a)
{
  const auto comfortable = comfortable_draw(a.bow_case, a.results);
  std::string text;
  if (!comfortable)
    return "The bow was not strung.";
  if (comfortable->never_comfortable)
    text = fmt::format("Over its mark already at brace: {} at {}.", layer_name(a.bow_case, *comfortable->limit),
                       strength_used(*comfortable->limit));
  else if (comfortable->to_the_end)
    text = fmt::format("Comfortable to {}, not checked further.", a.draw(comfortable->draw));
  else
    text = fmt::format("Comfortable to {} of draw, where {} passes {}.", a.draw(comfortable->draw),
                       layer_name(a.bow_case, *comfortable->limit), strength_used(comfortable_up_to(comfortable->limit->mode)));
  const double one = force_past_full_draw(a.results, 1), two = force_past_full_draw(a.results, 2);
  if (std::isfinite(one))
    text += fmt::format(" Overdrawn {} it pulls {}, {} it pulls {}.", told(inch, told_draw, a.units), a.force(one),
                        told(2. * inch, told_draw, a.units), a.force(two));
  return text + " None of this is permission to draw past what the bow has already taken.";
}

std::string set_after(const Asked &a)
{
  const auto text = unwrapped(after_the_draw(a.results, a.units));
  return text.empty() ? "This run did not let the bow down, so it says nothing about set." : text;
}

std::string slimmer_tips(const Asked &a)
{
  auto text =
      fmt::format("Each limb weighs {}{}. ", told(a.results.mass_upper, told_mass, a.units),
                  a.results.symmetric ? "" : " (upper) and " + told(a.results.mass_lower, told_mass, a.units) + " (lower)");
  return text + "There is no shot here, so no arrow speed. Narrow the tips in the bow file's width table, draw again, and "
                "compare the two runs with 'limbwright compare'; or let 'limbwright vary' do it. See what it costs in strain "
                "near the tips, in the glue and in limb mass.";
}

std::string this_piece(const Asked &a)
{
  std::string text;
  const auto add = [&](const LimbDescription &limb, LimbName name)
  {
    if (!flawed(limb))
      return;
    for (const Flaw &flaw : flaws(LimbShape(limb)))
      text += (text.empty() ? "As entered: " : "; ") + limb_words(name, a.results.symmetric) + ", " +
              flaw_name(a.bow_case, name, flaw, a.units);
  };
  add(a.bow_case.bow.upper, LimbName::upper);
  if (a.bow_case.bow.lower)
    add(*a.bow_case.bow.lower, LimbName::lower);
  text += text.empty() ? "No flaw was entered." : ". The worst places below include them.";
  for (const FlawCost &cost : a.results.flaw_costs)
    if (cost.complete && cost.beside == BowBeside::sound)
    {
      text += " Cost of the flaws (same bow drawn without them): " + flaw_cost_sum(a.bow_case, cost, a.units);
      for (const std::string &line : flaw_cost_lines(a.bow_case, a.results, cost, a.units))
        text += " " + line;
    }
  return text + " Enter starved or open glue as [[glue.patch]], a knot as [[weak.knot]], sloping grain as run_out or "
                "[[weak.run_out]], a split as [[weak.split]]. To find the largest flaw a limb can take, draw it with larger "
                "ones. 'limbwright margins' gives limits inch by inch; 'limbwright patch' runs an open spot at several lengths.";
}

/// The stack in the middle of the working limb, and the width where the limb begins. [m]
std::pair<double, double> stack_and_width(const DrawResults &results)
{
  const auto &sections = results.snapshots.back().limbs.front().sections;
  return {sections[sections.size() / 2].stack, sections.front().width};
}

std::string what_comes_off(const Asked &a)
{
  if (a.results.snapshots.empty() || a.results.snapshots.back().limbs.empty() || !(a.results.draw_weight > 0.))
    return "The bow was not drawn.";
  const auto [stack, width] = stack_and_width(a.results);
  const double drop = 3. * pound_force, share = drop / a.results.draw_weight;
  return fmt::format(
      "For {}: {:.1f} % off the width everywhere ({} where the limb leaves the handle). Weight goes with width, and strain stays "
      "the same. Or, on an all-wood limb, {:.1f} % off the thickness everywhere ({} at mid-limb), because weight goes with "
      "thickness cubed. Under glass or a backing that keeps its thickness, more has to come off. 'limbwright pounds' works it "
      "out for this bow, inch by inch, with the cost of each method in strain.",
      a.force(drop), share / percent, told(share * width, told_thickness, a.units), (1. - std::cbrt(1. - share)) / percent,
      told((1. - std::cbrt(1. - share)) * stack, told_thickness, a.units));
}

std::string next_one(const Asked &a)
{
  if (a.results.snapshots.empty() || a.results.snapshots.back().limbs.empty() || !(a.results.draw_weight > 0.))
    return "The bow was not drawn.";
  const auto [stack, width] = stack_and_width(a.results);
  const double w = a.results.draw_weight, thick = 5. * thou, wide = inch / 32.;
  return fmt::format("One run gives no spread. Rule of thumb: {} in the whole stack is about {}; {} of width, {}; 5 % in "
                     "stiffness, {}. Thickness matters most: measure it glued up. 'limbwright batch' builds the bow many times "
                     "over with the scatter of a shop.",
                     told(thick, told_thickness, a.units), a.force(w * (std::pow(1. + thick / stack, 3.) - 1.)),
                     told(wide, told_thickness, a.units), a.force(w * wide / width), a.force(0.05 * w));
}
} // namespace

std::vector<Question> twelve_questions(const Case &bow_case, const DrawResults &results, Units units)
{
  const Asked a{bow_case, results, units};
  return {{"Will it make weight?", weight(a)},
          {"How hard are the belly and back working?", how_hard(a)},
          {"Where will it go first, and how?", goes_first(a)},
          {"Is it bending right?", bends_right(a)},
          {"Is the glue safe, and where is it worst?", glue_safe(a)},
          {"What if it is overdrawn?", drawn_farther(a)},
          {"How much set will it take, and what will it pull afterward?", set_after(a)},
          {"Thin glass or thick?",
           "Needs a second run. Write the other lay-up as its own bow file, draw it too, and compare: 'limbwright compare "
           "A.results B.results --equal-weight'. 'limbwright vary' does this for a list of thicknesses, each brought to weight."},
          {"What if the tips are slimmed?", slimmer_tips(a)},
          {"Can I use this piece?", this_piece(a)},
          {"How much comes off to drop three pounds?", what_comes_off(a)},
          {"Is the next one going to match?", next_one(a)}};
}
} // namespace limbwright
