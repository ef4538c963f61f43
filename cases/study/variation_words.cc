#include "cases/report/answer_parts.h"
#include "cases/report/output_units.h"
#include "cases/report/words.h"
#include "cases/study/variation.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
constexpr double grain = pound_mass / 7000.; // [kg] by definition

/// One column of the table, here and in the file.
struct Figure
{
  const char *name, *unit; // in the file
  const char *head, *told; // on the screen
  int wide, decimals;
  double told_size; // of the unit on the screen
  double size_of_unit;
  double (*value)(const BowFigures &);
};

const std::vector<Figure> &figures()
{
  static const std::vector<Figure> list{
      {"draw_weight", "lb", "weight", "lb", 8, 1, pound_force, pound_force, [](const BowFigures &f) { return f.weight; }},
      {"stack_mid_limb", "in", "stack", "in", 6, 3, inch, inch, [](const BowFigures &f) { return f.stack; }},
      {"balance", "", "", "", 0, 2, 1., 1., [](const BowFigures &f) { return f.balance(); }},
      {"back_index", "", "back", "%", 5, 0, percent, 1., [](const BowFigures &f) { return f.back_index; }},
      {"belly_index", "", "belly", "%", 6, 0, percent, 1., [](const BowFigures &f) { return f.belly_index; }},
      {"core_index", "", "core", "%", 5, 0, percent, 1., [](const BowFigures &f) { return f.core_index; }},
      {"glue_index", "", "glue", "%", 5, 0, percent, 1., [](const BowFigures &f) { return f.glue_index; }},
      {"worst_index", "", "", "", 0, 0, percent, 1., [](const BowFigures &f) { return f.worst_index; }},
      {"set", "in", "set", "in", 5, 2, inch, inch, [](const BowFigures &f) { return f.set; }},
      {"mass_both_limbs", "oz", "limbs", "oz", 6, 1, ounce_mass, ounce_mass, [](const BowFigures &f) { return f.mass; }},
      {"mass_outer_8_in", "grain", "", "", 0, 0, grain, grain, [](const BowFigures &f) { return f.outer_mass; }},
      {"energy", "ft_lb", "energy", "ft-lb", 7, 1, foot_pound, foot_pound, [](const BowFigures &f) { return f.energy; }},
      {"rise_at_full_draw", "lb/in", "rise", "lb/in", 6, 2, pound_force / inch, pound_force / inch,
       [](const BowFigures &f) { return f.rise; }},
      {"brace_tension", "lb", "", "", 0, 1, pound_force, pound_force, [](const BowFigures &f) { return f.brace_tension; }},
      {"belly_strain", "%", "", "", 0, 3, percent, percent, [](const BowFigures &f) { return f.belly_strain; }},
      {"back_strain", "%", "", "", 0, 3, percent, percent, [](const BowFigures &f) { return f.back_strain; }},
      {"core_strain", "%", "", "", 0, 3, percent, percent, [](const BowFigures &f) { return f.core_strain; }},
      {"glue_shear", "psi", "", "", 0, 0, psi, psi, [](const BowFigures &f) { return f.glue_shear; }},
  };
  return list;
}

bool resizes_width(const Variation &variation)
{
  return variation.by == "width";
}

double told_amount(const Variation &variation, double amount)
{
  return resizes_width(variation) ? amount / percent : amount / inch;
}

std::string title_of(const Case &bow_case)
{
  return bow_case.title.empty() ? bow_case.name : bow_case.title;
}

std::string about_words(const Case &bow_case, const Variation &variation)
{
  if (variation.by.empty())
    return "Each bow as it comes out, not brought to one weight.";
  return fmt::format("Each bow brought to {} at {} by {}; 'added' is what that took.",
                     number(variation.weight, pound_force, "lb", 1), draw_told(bow_case, bow_case.bow.full_draw),
                     resizes_width(variation) ? "changing its width" : "changing the thickness of " + variation.by);
}

/// The values that make it.
std::string label_of(const VariedBow &bow)
{
  std::string words;
  for (const std::string &value : bow.values)
    words += (words.empty() ? "" : " | ") + value;
  return words;
}
} // namespace

StudyTable variation_page(const Case &bow_case, const Variation &variation, const std::vector<VariedBow> &bows)
{
  StudyTable table;
  table.title = title_of(bow_case) + ": varied";
  table.about = about_words(bow_case, variation);
  for (const VariedKey &key : variation.keys)
    table.varied += (table.varied.empty() ? "" : " | ") + key.path;
  for (const VariedBow &bow : bows)
  {
    table.rows.push_back(label_of(bow));
    table.failures.push_back(bow.failure);
  }
  const auto add = [&](const std::string &name, const std::string &group, const ToldUnit &unit, auto value)
  {
    table.columns.push_back({name, group, unit});
    for (const VariedBow &bow : bows)
      table.columns.back().values.push_back(bow.failure.empty() ? value(bow) : not_known);
  };
  if (!variation.by.empty())
    add("added", "added", resizes_width(variation) ? told_strain : told_thickness,
        [](const VariedBow &bow) { return bow.amount; });
  const auto figure = [&](const char *name, const char *group, const ToldUnit &unit, double BowFigures::*member)
  { add(name, group, unit, [member](const VariedBow &bow) { return bow.figures.*member; }); };
  figure("draw weight", variation.by.empty() ? "draw weight" : "", told_force, &BowFigures::weight);
  figure("stack", "stack", told_thickness, &BowFigures::stack);
  figure("belly", "strength used", told_used, &BowFigures::belly_index);
  figure("back", "strength used", told_used, &BowFigures::back_index);
  figure("core", "strength used", told_used, &BowFigures::core_index);
  figure("glue", "strength used", told_used, &BowFigures::glue_index);
  figure("set", "set", told_length, &BowFigures::set);
  figure("both limbs", "mass of both limbs", told_mass, &BowFigures::mass);
  figure("outer 8 in of a limb", "mass of the outer 8 in", told_mass, &BowFigures::outer_mass);
  figure("energy", "energy", told_energy, &BowFigures::energy);
  figure("rise at full draw", "rise at full draw", told_rise, &BowFigures::rise);
  figure("string tension, braced", "string tension, braced", told_tension, &BowFigures::brace_tension);
  figure("belly strain", "strain", told_strain, &BowFigures::belly_strain);
  figure("back strain", "strain", told_strain, &BowFigures::back_strain);
  figure("core strain", "strain", told_strain, &BowFigures::core_strain);
  figure("glue shear", "glue shear", told_glue_stress, &BowFigures::glue_shear);
  return table;
}

Table variation_table(const Variation &variation, const std::vector<VariedBow> &bows)
{
  Table table;
  for (std::size_t i = 0; i < variation.keys.size(); ++i)
    table.columns.push_back(word_column(variation.keys[i].path, bows, [&](const VariedBow &bow) { return bow.values[i]; }));
  if (!variation.by.empty())
    table.columns.push_back(number_column("added_to_" + variation.by, resizes_width(variation) ? "%" : "in", bows,
                                          [&](const VariedBow &bow) { return told_amount(variation, bow.amount); }));
  for (const Figure &figure : figures())
    table.columns.push_back(number_column(
        figure.name, figure.unit, bows, [&](const VariedBow &bow) { return figure.value(bow.figures); }, figure.size_of_unit));
  table.columns.push_back(word_column(
      "verdict", bows, [](const VariedBow &bow) { return bow.failure.empty() ? level_key(bow.figures.level) : std::string(); }));
  table.columns.push_back(word_column("failure", bows, [](const VariedBow &bow) { return bow.failure; }));
  return table;
}

std::string variation_words(const Case &bow_case, const Variation &variation, const std::vector<VariedBow> &bows)
{
  std::string text = title_of(bow_case) + "\n\n  " + wrapped(about_words(bow_case, variation), 2);
  text += "\n\n";
  for (const VariedKey &key : variation.keys)
    text += "  varied: " + key.path + "\n";
  std::size_t wide = 0;
  for (const VariedBow &bow : bows)
    wide = std::max(wide, label_of(bow).size());
  // A label too long for 80 columns has a line of its own.
  constexpr std::size_t most = 11;
  const bool own_line = wide > most;
  wide = own_line ? 2 : wide;
  std::string heads = fmt::format("  {:<{}}", "", wide), units = heads;
  if (!variation.by.empty())
  {
    heads += fmt::format("{:>8}", "added");
    units += fmt::format("{:>8}", resizes_width(variation) ? "%" : "in");
  }
  for (const Figure &figure : figures())
  {
    heads += fmt::format("{:>{}}", figure.head, figure.wide);
    units += fmt::format("{:>{}}", figure.told, figure.wide);
  }
  text += "\n" + heads + "\n" + units + "\n";
  bool hard = false, fails = false;
  for (const VariedBow &bow : bows)
  {
    const bool drawn = bow.failure.empty();
    const bool works_hard = drawn && bow.figures.level == Verdict::Level::works_hard,
               past = drawn && bow.figures.level == Verdict::Level::fails;
    hard = hard || works_hard;
    fails = fails || past;
    text += past ? "X " : works_hard ? "! " : "  ";
    text += own_line ? label_of(bow) + "\n    " : fmt::format("{:<{}}", label_of(bow), wide);
    if (!drawn)
    {
      text += "  " + wrapped(bow.failure, 4, 80 - wide - 4) + "\n";
      continue;
    }
    if (!variation.by.empty())
      text += fmt::format("{:>+8.{}f}", told_amount(variation, bow.amount), resizes_width(variation) ? 1 : 4);
    for (const Figure &figure : figures())
      if (figure.wide > 0)
      {
        const double value = figure.value(bow.figures) / figure.told_size;
        text += std::isfinite(value) ? fmt::format("{:>{}.{}f}", value, figure.wide, figure.decimals)
                                     : fmt::format("{:>{}}", "-", figure.wide);
      }
    text += "\n";
  }
  text += "\n  Back, belly, core, glue: % of strength used (100 % = fails). The stack, glue included, is\n"
          "  halfway along the limb.\n";
  if (hard)
    text += "  ! working hard: past " + strength_used(comfortable_index) + ", or a wooden belly past " +
            strength_used(belly_holds_index) + "\n";
  if (fails)
    text += "  X past its strength: by these numbers it fails\n";
  return text;
}
} // namespace limbwright
