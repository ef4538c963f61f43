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
  return fmt::format(
      "{} at {} of draw ({}), rising {} there. Wood of one kind differs by a tenth or two in stiffness from board to "
      "board, and the weight goes with it: a tenth in every layer is {} to {}. Put your own piece's modulus into "
      "the case where you can. 'limbwright size' tells what to grind for another weight.",
      a.force(w), a.draw(a.results.draw_length), convention_words(a.bow_case.convention),
      told(a.results.rise_per_metre, told_rise, a.units), a.force(0.9 * w), a.force(1.1 * w));
}

std::string how_hard(const Asked &a)
{
  const auto text = unwrapped(balance_words(a.bow_case, verdict_of(a.bow_case, a.results), a.results.symmetric) + " " +
                              belly_wood_words(a.bow_case, a.results, a.units));
  return text.empty() ? "Nothing was judged: no strength is known of any layer. The charts show each one's strain and stress."
                      : text;
}

std::string goes_first(const Asked &a)
{
  const auto ranked = verdict_of(a.bow_case, a.results).worst;
  if (ranked.empty())
    return "Nothing was judged: no strength is known of any layer.";
  const auto &spot = ranked.front();
  return fmt::format("{}: {}, at {}{}; {}. Look for: {}", capital(a.place(spot)), failure_words(a.bow_case, spot),
                     strength_used(spot), load_and_limit(spot, a.units), when_it_fails(a.bow_case, a.results, spot, a.units),
                     advice_on(a.bow_case, spot).look);
}

std::string bends_right(const Asked &a)
{
  const auto *most = most_bent(a.results);
  const auto hinge = sharpest_bend(a.results);
  if (most == nullptr || !hinge)
    return "It was not drawn.";
  auto text = fmt::format("It bends most {} from the middle of the handle: from unstrung by a radius of {}.",
                          told(most->station, told_draw, a.units), told(1. / most->curvature_change, told_draw, a.units));
  text += hinge->over_mean > hinge_ratio
              ? fmt::format(" Look at {} on {}{}: there it bends {:.2f} times as much as three inches to either side: a hinge.",
                            told(hinge->station, told_draw, a.units), a.results.symmetric ? "" : "the ",
                            limb_words(hinge->limb, a.results.symmetric), hinge->over_mean)
              : fmt::format(" No hinge: nowhere does it bend more than {:.2f} times its neighbourhood (a hinge is {} or more).",
                            hinge->over_mean, hinge_ratio);
  return text + " Hold the outlines below against a photo on the tiller wall.";
}

std::string glue_safe(const Asked &a)
{
  const auto worst = verdict_of(a.bow_case, a.results).glue;
  if (!worst)
    return "There is no glue line, or none whose strength is known.";
  auto text = fmt::format("Worst: {}, {}, at {}{}. ", a.place(*worst), failure_words(a.bow_case, *worst), strength_used(*worst),
                          load_and_limit(*worst, a.units));
  if (worst->index >= 1.)
    return text + "Past 100 %: it parts where the glue cannot soften.";
  if (measure_of(worst->mode) == Measure::energy)
    return text + "It holds as long as its toughness is what it was given here; a starved or dirty line has less.";
  return text + fmt::format("The bond there has to reach {:.0f} % of the strength it was given here; a starved or dirty line has "
                            "less, and flaws decide.",
                            std::ceil(100. * worst->index));
}

std::string drawn_farther(const Asked &a)
{
  const auto comfortable = comfortable_draw(a.bow_case, a.results);
  std::string text;
  if (!comfortable)
    return "It was not strung.";
  if (comfortable->never_comfortable)
    text = fmt::format("Past its mark already when strung: {}, at {}.", layer_name(a.bow_case, *comfortable->limit),
                       strength_used(*comfortable->limit));
  else if (comfortable->to_the_end)
    text = fmt::format("Comfortable up to {}, not checked further.", a.draw(comfortable->draw));
  else
    text = fmt::format("Comfortable up to {} of draw: there {} passes {}.", a.draw(comfortable->draw),
                       layer_name(a.bow_case, *comfortable->limit), strength_used(comfortable_up_to(comfortable->limit->mode)));
  const double one = force_past_full_draw(a.results, 1), two = force_past_full_draw(a.results, 2);
  if (std::isfinite(one))
    text += fmt::format(" Drawn {} too far it reads {}, {} too far {}.", told(inch, told_draw, a.units), a.force(one),
                        told(2. * inch, told_draw, a.units), a.force(two));
  return text + " None of this is permission to draw past what the bow has already taken.";
}

std::string set_after(const Asked &a)
{
  const auto text = unwrapped(after_the_draw(a.results, a.units));
  return text.empty() ? "The bow was not let down again in this run, so nothing is known of its set." : text;
}

std::string slimmer_tips(const Asked &a)
{
  auto text =
      fmt::format("Each limb weighs {}{}. ", told(a.results.mass_upper, told_mass, a.units),
                  a.results.symmetric ? "" : " (upper) and " + told(a.results.mass_lower, told_mass, a.units) + " (lower)");
  return text +
         "No shot is computed here, so no arrow speed. Narrow the tips in the width table of the case, draw again, and lay both "
         "side by side with 'limbwright compare', or let 'limbwright vary' do so: the strain near the tips, the glue and the "
         "limb's weight tell what it costs.";
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
  text += text.empty() ? "No flaw was entered." : ". The worst places below count them in.";
  for (const FlawCost &cost : a.results.flaw_costs)
    if (cost.complete && cost.beside == BowBeside::sound)
    {
      text += " The same bow was drawn without them: " + flaw_cost_sum(a.bow_case, cost, a.units);
      for (const std::string &line : flaw_cost_lines(a.bow_case, a.results, cost, a.units))
        text += " " + line;
    }
  return text +
         " A starved or open stretch of glue is entered under [[glue.patch]], a knot under [[weak.knot]], sloping grain as "
         "run_out or [[weak.run_out]], a split as [[weak.split]]. The largest flaw a limb bears is found by drawing it with "
         "larger ones; for an open stretch 'limbwright patch' does that.";
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
    return "It was not drawn.";
  const auto [stack, width] = stack_and_width(a.results);
  const double drop = 3. * pound_force, share = drop / a.results.draw_weight;
  return fmt::format(
      "For {}: {:.1f} % off the width everywhere ({} where the limb leaves the handle): weight goes with width, and "
      "strain stays as it is. Or, of a plain wooden limb, {:.1f} % off the thickness everywhere ({} at mid limb): "
      "weight goes with the cube of it. Under glass or a backing that keeps its thickness more has to come off: 'limbwright "
      "pounds' tells it for this very bow, inch by inch, and what each way costs in strain.",
      a.force(drop), share / percent, told(share * width, told_thickness, a.units), (1. - std::cbrt(1. - share)) / percent,
      told((1. - std::cbrt(1. - share)) * stack, told_thickness, a.units));
}

std::string next_one(const Asked &a)
{
  if (a.results.snapshots.empty() || a.results.snapshots.back().limbs.empty() || !(a.results.draw_weight > 0.))
    return "It was not drawn.";
  const auto [stack, width] = stack_and_width(a.results);
  const double w = a.results.draw_weight, thick = 5. * thou, wide = inch / 32.;
  return fmt::format(
      "One run knows no spread. By the beam's rule {} more or less in the whole stack is about {}; {} in the width {}; "
      "five per cent in stiffness {}. Thickness counts most: measure it glued. 'limbwright batch' builds the bow many times with "
      "the scatter of a shop.",
      told(thick, told_thickness, a.units), a.force(w * (std::pow(1. + thick / stack, 3.) - 1.)),
      told(wide, told_thickness, a.units), a.force(w * wide / width), a.force(0.05 * w));
}
} // namespace

std::vector<Question> twelve_questions(const Case &bow_case, const DrawResults &results, Units units)
{
  const Asked a{bow_case, results, units};
  return {
      {"Will it make weight?", weight(a)},
      {"How hard are belly and back working?", how_hard(a)},
      {"Where will it go first, and how?", goes_first(a)},
      {"Is it bending right?", bends_right(a)},
      {"Is the glue safe, and where is it worst?", glue_safe(a)},
      {"What if it is drawn farther?", drawn_farther(a)},
      {"How much set will it take, and what will it read after?", set_after(a)},
      {"Thin glass or thick?",
       "One run cannot tell. Write the other lay-up as a case of its own, draw it too, and lay them side by side: 'limbwright "
       "compare A.results B.results --equal-weight'. 'limbwright vary' does it for a list of thicknesses, each brought to "
       "weight."},
      {"What if the tips are slimmed?", slimmer_tips(a)},
      {"Can I use this piece?", this_piece(a)},
      {"How much comes off to drop three pounds?", what_comes_off(a)},
      {"Is the next one going to match?", next_one(a)}};
}
} // namespace limbwright
