#include "cases/study/pounds.h"

#include "cases/report/output_units.h"
#include "solver/stages/drawn_bow.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <functional>
#include <stdexcept>

namespace limbwright
{
namespace
{
/// Gives a table knots of its own at stations, its values unchanged. One straight taper is scraped smoothly, as a hand does.
void add_knots(StationTable &table, const std::vector<double> &stations)
{
  StationTable finer{{}, {}, table.smooth || table.station.size() <= 2, table.level_before, table.level_after};
  std::vector<double> all = table.station;
  for (const double s : stations)
    if (std::none_of(all.begin(), all.end(), [s](double other) { return std::abs(other - s) < 1e-4; }))
      all.push_back(s);
  std::sort(all.begin(), all.end());
  for (const double s : all)
  {
    finer.station.push_back(s);
    finer.value.push_back(table.at(s));
  }
  table = std::move(finer);
}

/// Adds a tent of an inch to either side of a station.
void add_tent(StationTable &table, double station, double height)
{
  for (std::size_t i = 0; i < table.station.size(); ++i)
    table.value[i] += height * std::max(0., 1. - std::abs(table.station[i] - station) / inch);
}

std::vector<double> whole_inches(const LimbDescription &limb)
{
  std::vector<double> stations;
  for (int i = static_cast<int>(std::ceil(limb.root_station / inch - 1e-6)); i * inch <= limb.nock.station + 1e-6; ++i)
    stations.push_back(i * inch);
  return stations;
}

LimbDescription *limb_at(Case &bow_case, std::size_t k)
{
  return k == 0 ? &bow_case.bow.upper : bow_case.bow.lower ? &*bow_case.bow.lower : nullptr;
}

bool chosen(const Resizing &what, const LaminationDescription &lamination)
{
  return std::find(what.laminations.begin(), what.laminations.end(), lamination.name) != what.laminations.end();
}

BowFigures difference(const BowFigures &a, const BowFigures &b, double factor)
{
  BowFigures d;
  for (double BowFigures::*figure :
       {&BowFigures::weight, &BowFigures::belly_index, &BowFigures::back_index, &BowFigures::core_index, &BowFigures::glue_index,
        &BowFigures::worst_index, &BowFigures::belly_strain, &BowFigures::back_strain, &BowFigures::core_strain,
        &BowFigures::glue_shear, &BowFigures::brace_tension, &BowFigures::tiller})
    d.*figure = (a.*figure - b.*figure) * factor;
  return d;
}

/// A change of the case by an amount.
using Change = std::function<void(Case &, double amount)>;

/// Per amount one.
BowFigures derivative(const DrawnBow &bow, const Case &bow_case, const BowFigures &base, const Change &change, double small)
{
  // Where the mesh would gain a row of elements on one side, it does not on the other.
  for (const double amount : {small, -small})
  {
    Case moved = bow_case;
    change(moved, amount);
    try
    {
      return difference(figures_of(moved, bow.changed(bow_in_use(moved).bow)), base, 1. / amount);
    }
    catch (const std::invalid_argument &)
    {
      continue;
    }
  }
  return {};
}

struct Way
{
  std::string words;
  Change change;
  double small; // amount for the derivative
  double most;  // amount that is still of sense
  std::function<std::string(double)> how_much;
};

std::string thousandths(const char *verb_less, const char *verb_more, double amount)
{
  return fmt::format("{:.4f} in {}", std::abs(amount) / inch, amount < 0. ? verb_less : verb_more);
}

// What the most of it does, where that is less than was asked for. rate: [N] per amount.
std::string too_little(const Way &way, double rate)
{
  const double lost = std::abs(rate) * way.most / pound_force;
  constexpr double hardly = 0.2; // [lb] less than a scale at the bench shows
  const std::string most = way.how_much(rate > 0. ? -way.most : way.most);
  return lost < hardly ? "hardly changes the weight (" + most + fmt::format(" takes {:.1f} lb)", lost)
                       : "not enough alone (" + most + fmt::format(" takes {:.1f} lb)", lost);
}

std::vector<Way> ways_of(const Case &bow_case)
{
  std::vector<Way> ways;
  std::string error;
  const auto resize_way = [&](const std::string &word, const std::string &words)
  {
    if (const auto what = resizing(bow_case, word, error); what && !what->in_proportion && !what->laminations.empty())
      ways.push_back({words, [what = *what](Case &moved, double amount) { moved = resized(moved, what, amount); },
                      1e-3 * scraping, -what->lowest,
                      [n = what->laminations.size()](double amount)
                      { return thousandths("off", "on", amount) + (n > 1 ? " each" : ""); }});
  };
  const auto width = resizing(bow_case, "width", error);
  ways.push_back({"narrow the limbs", [what = *width](Case &moved, double amount) { moved = resized(moved, what, amount); }, 1e-5,
                  0.5, [](double amount) { return fmt::format("{:.1f} % off every width", -amount / percent); }});
  resize_way("core", "thin the core");
  const auto &laminations = bow_case.bow.upper.laminations;
  const auto hard = [&](const LaminationDescription &lamination)
  { return bow_case.bow.materials.at(lamination.material).kind != MaterialKind::wood; };
  if (laminations.size() > 1)
  {
    resize_way(laminations.back().name,
               (hard(laminations.back()) ? "sand the back (" : "scrape the back (") + laminations.back().name + ")");
    if (hard(laminations.front()))
      resize_way(laminations.front().name, "sand the belly (" + laminations.front().name + ")");
  }
  if (std::holds_alternative<PlainFace>(bow_case.bow.upper.section.back) && bow_case.bow.upper.section.back_width_factor == 1.)
    ways.push_back({"trap the back",
                    [](Case &moved, double amount)
                    {
                      for (std::size_t k = 0; k < 2; ++k)
                        if (LimbDescription *limb = limb_at(moved, k))
                          limb->section.back_width_factor += amount;
                    },
                    -1e-5, 0.5,
                    [](double amount) { return fmt::format("{:.0f} % narrower than the belly", -amount / percent); }});
  ways.push_back(
      {"change the brace height", [](Case &moved, double amount) { moved.bow.brace_height += amount; }, 1e-5, 1.5 * inch,
       [](double amount) { return fmt::format("{:.2f} in {}", std::abs(amount) / inch, amount < 0. ? "lower" : "higher"); }});
  return ways;
}
} // namespace

std::optional<Pounds> where_pounds_are(const Case &bow_case, const Resizing &what, double lost, std::string &error,
                                       const std::atomic<bool> *stop)
{
  // The bow with knots at every inch, so that wood can be taken off there.
  Case knotted = bow_case;
  for (std::size_t k = 0; k < 2; ++k)
    if (LimbDescription *limb = limb_at(knotted, k))
    {
      const auto stations = whole_inches(*limb);
      add_knots(limb->width, stations);
      for (LaminationDescription &lamination : limb->laminations)
        if (chosen(what, lamination))
          add_knots(lamination.thickness, stations);
    }
  const DrawnBow bow(bow_in_use(knotted).bow, knotted.mesh, knotted.solve, stop);
  if (!bow.results().complete)
  {
    error = bow.results().reason;
    return std::nullopt;
  }
  Pounds pounds;
  pounds.base = figures_of(knotted, bow.results());
  for (std::size_t k = 0; k < 2; ++k)
  {
    const LimbDescription *limb = limb_at(knotted, k);
    if (limb == nullptr)
      continue;
    for (const double station : whole_inches(*limb))
    {
      if (stop != nullptr && stop->load())
      {
        error = "it was interrupted";
        return std::nullopt;
      }
      InchEffect effect;
      effect.limb = k == 0 ? LimbName::upper : LimbName::lower;
      effect.station = station;
      const Change thinner = [&](Case &moved, double amount)
      {
        for (LaminationDescription &lamination : limb_at(moved, k)->laminations)
          if (chosen(what, lamination))
            add_tent(lamination.thickness, station, -amount * scraping / static_cast<double>(what.laminations.size()));
      };
      const Change narrower = [&](Case &moved, double amount)
      { add_tent(limb_at(moved, k)->width, station, -amount * narrowing); };
      effect.thickness = derivative(bow, knotted, pounds.base, thinner, 1e-3);
      effect.width = derivative(bow, knotted, pounds.base, narrower, 1e-3);
      pounds.inches.push_back(effect);
    }
  }
  for (const Way &way : ways_of(knotted))
  {
    const BowFigures rate = derivative(bow, knotted, pounds.base, way.change, way.small);
    if (!std::isfinite(rate.weight))
      continue;
    const double amount = -lost / rate.weight;
    Route route{way.words, way.how_much(amount), std::abs(amount) <= way.most, {}, 0.};
    if (!route.of_sense)
      route.how_much = too_little(way, rate.weight);
    for (double BowFigures::*figure :
         {&BowFigures::weight, &BowFigures::belly_index, &BowFigures::back_index, &BowFigures::glue_index,
          &BowFigures::belly_strain, &BowFigures::back_strain, &BowFigures::glue_shear})
      route.change.*figure = rate.*figure * amount;
    const double before = std::max(pounds.base.belly_strain, pounds.base.back_strain);
    const double after =
        std::max(pounds.base.belly_strain + route.change.belly_strain, pounds.base.back_strain + route.change.back_strain);
    route.strain_cost = after / before - 1.;
    pounds.routes.push_back(std::move(route));
  }
  std::stable_sort(pounds.routes.begin(), pounds.routes.end(),
                   [](const Route &a, const Route &b)
                   { return a.of_sense != b.of_sense ? a.of_sense : a.strain_cost < b.strain_cost; });
  return pounds;
}
} // namespace limbwright
