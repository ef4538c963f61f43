#include "cases/run/run_beside.h"

#include "solver/fields/field_change.h"
#include "solver/model/communicator.h"
#include "solver/stages/draw_bow.h"
#include "solver/stages/flaw_cost.h"

namespace limbwright
{
namespace
{
struct VariantName
{
  const char *folder; // of its fields
  const char *label;  // while it is solved
};

VariantName name_of(BowBeside kind)
{
  switch (kind)
  {
  case BowBeside::sound:
    return {"sound", "without flaws"};
  case BowBeside::as_found:
    return {"as_found", "before the repair"};
  }
  return {};
}

// Stem of the files; empty where nothing could be written.
std::string write_changes(const Communicator &ranks, const std::filesystem::path &fields, const std::string &name,
                          const DrawResults &described, const DrawResults &variant)
{
  const std::string last = described.snapshots.back().field_name, other = variant.snapshots.back().field_name;
  const std::string stem = "change_from_" + name;
  bool written = false;
  for (const char *limb : {"", "_lower"})
    written =
        write_field_change(ranks, fields / (last + limb), fields / name / (other + limb), fields / (stem + limb)) || written;
  return written ? stem : std::string();
}
} // namespace

bool draws_beside(const Case &bow_case)
{
  const SoundBeside when = bow_case.solve.sound_beside;
  const bool wanted = when == SoundBeside::always || (when == SoundBeside::side_view && bow_case.solve.dimension == 2);
  return wanted && flawed(bow_case.bow);
}

DrawResults run_draw_beside(const Case &bow_case, const std::filesystem::path &fields_dir, const ProgressListener &listener,
                            const std::atomic<bool> *stop, const PathKeeping &keeping)
{
  DrawResults results = run_draw(bow_case, fields_dir, listener, stop, keeping);
  const bool drawn = results.draw_length > results.brace_height && (stop == nullptr || !stop->load());
  if (!drawn || !draws_beside(bow_case))
    return results;
  // A side view's fields are one process's.
  const Communicator ranks = bow_case.solve.dimension == 3 ? Communicator::world() : Communicator::alone();
  for (BowVariant &variant : bows_beside(bow_in_use(bow_case).bow))
  {
    const VariantName name = name_of(variant.kind);
    SolveSettings settings = bow_case.solve;
    follow_draw(results, variant.bow, settings);
    const auto progress = [&](const PathProgress &event)
    {
      if (listener)
        listener({std::string(name.label) + ": " + event.stage, event.step, event.n_steps, event.draw, event.iterations,
                  event.n_following});
    };
    const DrawResults beside = draw_bow(variant.bow, bow_case.mesh, settings, {},
                                        fields_dir.empty() ? fields_dir : fields_dir / name.folder, progress, stop);
    FlawCost cost = cost_of_flaws(results, variant.kind, beside);
    if (cost.complete && !fields_dir.empty())
      cost.change_files = write_changes(ranks, fields_dir, name.folder, results, beside);
    results.flaw_costs.push_back(std::move(cost));
  }
  return results;
}
} // namespace limbwright
