#include "cases/study/resize.h"

#include "cases/reader/nearest_name.h"
#include "cases/reader/units.h"
#include "cases/report/output_units.h"
#include "cases/study/case_edit.h"

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <stdexcept>

namespace limbwright
{
namespace
{
// Bounds of sense; our judgement. A strip thinner than this cannot be ground and handled; a limb whose core is twice as thick, or
// whose width is a third or three times what was drawn up, is another bow.
constexpr double thinnest_strip = 0.010 * inch;
constexpr double narrowest = -2. / 3., widest = 2.;

bool runs_whole_limb(const LimbDescription &limb, const LaminationDescription &lamination)
{
  return lamination.start <= limb.root_station + 1e-6 && lamination.end >= limb.tip_station - 1e-6;
}

/// [m] least and largest thickness within the limb.
std::pair<double, double> thickness_range(const LimbDescription &limb, const LaminationDescription &lamination)
{
  const double start = std::max(lamination.start, limb.root_station), end = std::min(lamination.end, limb.tip_station);
  std::pair<double, double> range{lamination.thickness.at(start), lamination.thickness.at(start)};
  const auto take = [&](double thickness) { range = {std::min(range.first, thickness), std::max(range.second, thickness)}; };
  take(lamination.thickness.at(end));
  for (std::size_t i = 0; i < lamination.thickness.station.size(); ++i)
    if (const double s = lamination.thickness.station[i]; s > start && s < end)
      take(lamination.thickness.value[i]);
  return range;
}

std::vector<std::string> core_of(const Case &bow_case)
{
  const LimbDescription &limb = bow_case.bow.upper;
  std::vector<const LaminationDescription *> whole;
  for (const LaminationDescription &lamination : limb.laminations)
    if (runs_whole_limb(limb, lamination))
      whole.push_back(&lamination);
  if (whole.size() > 1)
    whole.pop_back();
  const auto kind = [&](const LaminationDescription &lamination) { return bow_case.bow.materials.at(lamination.material).kind; };
  if (whole.size() > 1 && kind(*whole.front()) != MaterialKind::wood && kind(*whole.front()) != MaterialKind::bamboo)
    whole.erase(whole.begin());
  const auto tapers = [&](const LaminationDescription *lamination)
  {
    const auto [least, most] = thickness_range(limb, *lamination);
    return most - least > 0.5 * thou;
  };
  std::vector<std::string> names;
  const bool any_tapers = std::any_of(whole.begin(), whole.end(), tapers);
  for (const LaminationDescription *lamination : whole)
    if (!any_tapers || tapers(lamination))
      names.push_back(lamination->name);
  return names;
}

std::vector<LimbDescription *> limbs_of(Case &bow_case)
{
  std::vector<LimbDescription *> limbs{&bow_case.bow.upper};
  if (bow_case.bow.lower)
    limbs.push_back(&*bow_case.bow.lower);
  return limbs;
}

bool chosen(const Resizing &what, const LaminationDescription &lamination)
{
  return std::find(what.laminations.begin(), what.laminations.end(), lamination.name) != what.laminations.end();
}

double changed(const Resizing &what, double amount, double thickness, double thickest)
{
  return what.in_proportion ? thickness * (1. + amount / thickest) : thickness + amount;
}

/// A length in the text with another in its place, in its own unit where that is plain.
std::string new_length(const std::string &written, double length)
{
  return fmt::format("\"{:.6g} {}\"", written.find("mm") == std::string::npos ? length / inch : length / millimetre,
                     written.find("mm") == std::string::npos ? "in" : "mm");
}
} // namespace

std::optional<Resizing> resizing(const Case &bow_case, const std::string &word, std::string &error)
{
  Resizing what;
  if (word == "width")
  {
    what.width = what.in_proportion = true;
    what.lowest = narrowest;
    what.highest = widest;
    return what;
  }
  const LimbDescription &limb = bow_case.bow.upper;
  if (std::any_of(limb.laminations.begin(), limb.laminations.end(), [](const auto &one) { return one.split_off; }))
  {
    error = "a bow with a split can be sized by its width only; leave out [[weak.split]] to size it by a thickness";
    return std::nullopt;
  }
  std::vector<std::string> names{"core", "width"};
  for (const LaminationDescription &lamination : limb.laminations)
    names.push_back(lamination.name);
  if (std::find(names.begin() + 1, names.end(), word) != names.end())
    what.laminations = {word};
  else if (word == "core")
    what.laminations = core_of(bow_case);
  else
  {
    error = fmt::format("no lamination is named {}; {}", in_quotes(word), name_advice(word, names));
    return std::nullopt;
  }
  double thinnest = 1., stack = 0.;
  for (const LaminationDescription &lamination : limb.laminations)
  {
    const auto [least, most] = thickness_range(limb, lamination);
    if (!chosen(what, lamination))
      continue;
    stack += most;
    what.in_proportion = !runs_whole_limb(limb, lamination);
    thinnest = std::min(thinnest, what.in_proportion ? most : least);
  }
  what.lowest = std::min(0., thinnest_strip - thinnest);
  what.highest = 2. * stack / static_cast<double>(what.laminations.size());
  return what;
}

Case resized(const Case &bow_case, const Resizing &what, double amount)
{
  Case result = bow_case;
  for (LimbDescription *limb : limbs_of(result))
  {
    if (what.width)
      for (double &width : limb->width.value)
        width *= 1. + amount;
    for (LaminationDescription &lamination : limb->laminations)
      if (chosen(what, lamination))
      {
        const double thickest = thickness_range(*limb, lamination).second;
        for (double &thickness : lamination.thickness.value)
          thickness = changed(what, amount, thickness, thickest);
      }
  }
  return result;
}

std::string resized_text(const std::string &case_text, const Case &bow_case, const Resizing &what, double amount)
{
  Case before = bow_case, after = resized(bow_case, what, amount);
  std::string text = case_text;
  const auto put = [&text](const std::string &path, const std::string &value)
  {
    const EditedCase edited = with_value(text, path, value);
    if (!edited.error.empty())
      throw std::logic_error("the resized bow file cannot be written: " + edited.error);
    text = edited.text;
  };
  // A table's values stand in its column's unit, a constant with its own; glue that the file counts in stays counted in.
  const auto put_table = [&](const std::string &path, const StationTable &old_table, const StationTable &new_table)
  {
    const auto moved = [&](const std::string &written, double change)
    { return parse_quantity(written, Dimension::length).value + change; };
    for (std::size_t i = 0; i < new_table.value.size(); ++i)
    {
      const double change = new_table.value[i] - old_table.value[i];
      const std::string cell = fmt::format("{}.rows[{}][2]", path, i + 1);
      if (const std::string bare = written_at(text, cell); !bare.empty())
      {
        std::string unit = written_at(text, path + (what.width ? ".width" : ".thickness"));
        unit = unit.substr(1, unit.size() - 2);
        put(cell, fmt::format("{:.6g}", moved(bare + " " + unit, change) / parse_unit(unit, Dimension::length).value));
        continue;
      }
      std::string written = written_at(text, path);
      put(path, new_length(written, moved(written.substr(1, written.size() - 2), change)));
    }
  };
  const auto old_limbs = limbs_of(before), new_limbs = limbs_of(after);
  for (std::size_t k = 0; k < old_limbs.size(); ++k)
  {
    const std::string limb = old_limbs.size() == 1 ? "limb" : k == 0 ? "upper" : "lower";
    if (what.width)
      put_table(limb + ".width", old_limbs[k]->width, new_limbs[k]->width);
    for (std::size_t i = 0; i < old_limbs[k]->laminations.size(); ++i)
    {
      const LaminationDescription &was = old_limbs[k]->laminations[i], &is = new_limbs[k]->laminations[i];
      const std::string path = fmt::format("{}.lamination[{}]", limb, i + 1);
      if (!chosen(what, was))
        continue;
      if (!written_at(text, path + ".thickness").empty())
      {
        put_table(path + ".thickness", was.thickness, is.thickness);
        continue;
      }
      // Butt and taper: the same taper, or the same share of it.
      const std::string butt = written_at(text, path + ".butt"), taper = written_at(text, path + ".taper");
      const double old_butt = parse_quantity(butt.substr(1, butt.size() - 2), Dimension::length).value;
      put(path + ".butt", new_length(butt, old_butt + is.thickness.value.front() - was.thickness.value.front()));
      if (what.in_proportion)
        put(path + ".taper",
            fmt::format("\"{:.6g} thou/in\"", 1000. * parse_quantity(taper.substr(1, taper.size() - 2), Dimension::taper).value *
                                                  is.thickness.value.front() / was.thickness.value.front()));
    }
  }
  return text;
}
} // namespace limbwright
