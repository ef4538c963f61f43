#include "cases/report/stored_checks.h"

#include "cases/report/words.h"

#include <fmt/format.h>

#include <stdexcept>

namespace limbwright
{
namespace
{
[[noreturn]] void refuse(const std::string &what)
{
  throw std::runtime_error("the results file contradicts itself: " + what);
}

/// lowest: -1 where there may be none.
void check_index(const char *what, int index, int lowest, std::size_t count)
{
  if (index < lowest || index >= static_cast<int>(count))
    refuse(fmt::format("{} {} of {}", what, index, count));
}

class Checker
{
public:
  explicit Checker(const StoredRun &run) : bow_case(run.bow_case), results(run.results) {}

  void check() const
  {
    const bool two = bow_case.bow.lower.has_value();
    if (two == results.symmetric)
      refuse(two ? "results of one limb for a bow with two" : "results of two limbs for a bow with one");
    if (results.snapshots.empty() && (results.complete || !results.draw_curve.empty() || !results.worst.empty()))
      refuse("no state of the bow");
    if (results.snapshots.size() > 1 && results.draw_curve.empty())
      refuse("no draw curve");
    for (const auto *snapshots : {&results.snapshots, &results.let_down.snapshots})
      for (const Snapshot &snapshot : *snapshots)
        check(snapshot);
    check(results.worst);
    check(results.events);
    for (const FlawCost &cost : results.flaw_costs)
      check(cost);
  }

private:
  const Case &bow_case;
  const DrawResults &results;

  const LimbDescription &limb(LimbName name) const
  {
    if (name == LimbName::lower && results.symmetric)
      refuse("a lower limb that the bow does not have");
    return limb_of(bow_case, name);
  }

  void check(const std::vector<HotSpot> &spots) const
  {
    for (const HotSpot &spot : spots)
    {
      const LimbDescription &described = limb(spot.limb);
      check_index("lamination", spot.lamination, -1, described.laminations.size());
      check_index("glue line", spot.glue_line, -1, described.glue.size());
      check_index("lamination", spot.back_lamination, -1, described.laminations.size());
    }
  }

  void check(const std::vector<Event> &events) const
  {
    for (const Event &event : events)
    {
      const LimbDescription &described = limb(event.limb);
      check_index("lamination", event.lamination, -1, described.laminations.size());
      check_index("glue line", event.glue_line, -1, described.glue.size());
    }
  }

  void check(const Snapshot &snapshot) const
  {
    if (snapshot.limbs.size() != (results.symmetric ? 1U : 2U))
      refuse(fmt::format("{} limbs in the state '{}'", snapshot.limbs.size(), snapshot.stage));
    check(snapshot.worst);
    for (const LimbSnapshot &state : snapshot.limbs)
    {
      const LimbDescription &described = limb(state.limb);
      const std::size_t n = described.laminations.size(), n_lines = described.glue.size();
      if (state.sections.size() < 2)
        refuse("a limb without length");
      for (const FaceState &face : state.faces)
        check_index("lamination", face.lamination, 0, n);
      for (const GlueState &glue : state.glue)
      {
        check_index("glue line", glue.line, 0, n_lines);
        check_index("lamination", glue.back_lamination, -1, n);
      }
      for (const auto *ends : {&state.patch_ends, &state.free_edges})
        for (const PatchEnd &end : *ends)
        {
          check_index("glue line", end.line, 0, n_lines);
          check_index("lamination", end.back_lamination, -1, n);
        }
    }
  }

  void check(const FlawCost &cost) const
  {
    check(cost.events);
    for (const FlawDifference &difference : cost.flaws)
    {
      const LimbDescription &described = limb(difference.limb);
      const Flaw &flaw = difference.flaw;
      check_index("lamination", flaw.lamination, -1, described.laminations.size());
      const bool weak_glue = flaw.kind == FlawKind::weak_glue;
      check_index("glue line", flaw.glue_line, weak_glue ? 0 : -1, described.glue.size());
      check_index("flaw", flaw.number, 0,
                  weak_glue                     ? described.glue[static_cast<std::size_t>(flaw.glue_line)].patches.size()
                  : flaw.kind == FlawKind::knot ? described.weak.knots.size()
                                                : described.weak.regions.size());
      check(difference.with);
      check(difference.without);
    }
  }
};
} // namespace

void check_stored(const StoredRun &run)
{
  Checker(run).check();
}
} // namespace limbwright
