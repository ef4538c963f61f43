#include "cases/report/write_results.h"

#include "cases/report/answer.h"
#include "cases/report/read_results.h"
#include "cases/report/result_tables.h"
#include "cases/report/results_file.h"
#include "cases/report/summary.h"
#include "cases/report/text_file.h"
#include "cases/report/versions.h"

#include <fmt/core.h>

#include <algorithm>

namespace limbwright
{
namespace fs = std::filesystem;

namespace
{
std::vector<std::string> files_below(const fs::path &folder)
{
  std::vector<std::string> files;
  for (const auto &entry : fs::recursive_directory_iterator(folder))
    if (entry.is_regular_file())
      files.push_back(fs::relative(entry.path(), folder).generic_string());
  std::sort(files.begin(), files.end());
  return files;
}

bool ends_with(const std::string &text, const std::string &ending)
{
  return text.size() >= ending.size() && text.compare(text.size() - ending.size(), ending.size(), ending) == 0;
}

std::string fields_text(const std::vector<std::string> &files, bool symmetric)
{
  std::string collections;
  bool changes = false;
  for (const auto &file : files)
    if (ends_with(file, ".pvd"))
      collections += "  " + file + "\n";
    else
      changes = changes || file.find("/change_from_") != std::string::npos;
  if (collections.empty())
    return "No field files were written.\n";
  return "Fields (any program that reads VTK files; open the .pvd, it plays all steps)\n" + collections +
         "  Time in a .pvd is the draw length in INCHES from the grip's pivot to the nocking point; the unstrung bow is\n"
         "  at 0, the braced bow at its brace height. After full draw comes the way down: time counts the inches the\n"
         "  string goes back on from full draw. Move the shape by the field 'displacement [m]', at scale 1.\n"
         "  In limb.pvd look at\n"
         "    'strain along grain [1]', 'stress along grain [Pa]'        belly and back: where it works hardest\n"
         "    'shear stress on grain plane [Pa]'                         splitting along the grain\n"
         "    'index tension along grain [1]' and every other 'index'    share of a strength that is used; one is failure\n"
         "    'index crushing (belly strain over bending strength strain) [1]', 'plastic shortening along grain [1]'\n"
         "                                                               the belly, and what it keeps as set\n"
         "    the same names, ending in: as judged                       what the answer rests on: near ends and corners\n"
         "                                                               strain from the section's own forces, without the\n"
         "                                                               mesh's peaks there\n"
         "    'layer from belly', 'material', 'judged by the plane section'   marks to choose parts by\n" +
         (collections.find("glue_lines") == std::string::npos
              ? std::string()
              : std::string("  In glue_lines.pvd look at\n"
                            "    'shear [Pa]', 'peel [Pa]'                                  peel is positive where the glue is "
                            "pulled open\n"
                            "    'index glue shear [1]', 'index glue peel [1]'              share of the strength that is used\n"
                            "    'share of fracture energy spent [1]'                       damage; at one the glue is open\n")) +
         (changes
              ? std::string("  In change_from_sound.vtu, at the last draw, every 'change of ...' is the bow as described less "
                            "the same bow without\n  its flaws, whose own fields are in sound/; change_from_as_found.vtu tells "
                            "the same of one that was "
                            "mended.\n")
              : std::string()) +
         "  Every field's name ends with its unit in brackets: lengths m, stresses Pa, strains and indices 1.\n"
         "  Stresses are second Piola-Kirchhoff, strains Green-Lagrange, along the grain of the unstrung limb. Values in\n"
         "  the last thickness before a clamp, a nock or the end of a layer grow with a finer mesh: judge those places\n"
         "  by the worst places in summary.json, which average there.\n" +
         (symmetric ? "  One limb is there; the other is its mirror image.\n"
                    : "  The upper limb is in the files step_N.vtu, the lower one, in its own place below the handle, in\n"
                      "  step_N_lower.vtu; the .pvd shows both.\n");
}
} // namespace

std::string results_readme(const Case &bow_case, const DrawResults &results, const std::vector<std::string> &files)
{
  std::string text =
      "Results of limbwright " + program_version() + " for " + (bow_case.title.empty() ? bow_case.name : bow_case.title) + "\n\n";
  if (!results.complete)
    text += "THE RUN IS NOT COMPLETE. Stage that failed: " + results.failed_stage + ". Reason: " + results.reason +
            "\nThe files hold the bow as far as it went.\n\n";
  text += "  report.html         the answer with its charts, for any browser; begin here\n"
          "  answer.txt          the answer in words alone\n"
          "  draw_curve.csv      weight by inch of draw; opens in any spreadsheet\n"
          "  along_limb.csv      strain and stress at every layer face and glue line along the limb, at the last draw reached\n"
          "  summary.json        the numbers and the worst places, for scripts (SI; units at the end of every key)\n"
          "  results.h5          all of it, every step (HDF5; SI, units as attributes)\n"
          "  case.resolved.toml  the case with every default written out; can be run again\n"
          "  manifest.json       versions, times, sizes, and the list of files with their checksums\n\n";
  text += fields_text(files, results.symmetric);
  text += fmt::format(
      "\nStations are along the back from the middle of the handle{}. Draw length is told {};\nlengths in summary.json "
      "and results.h5 run from the pivot to the nocking point unless the key says 'told'.\n",
      results.symmetric ? "" : ", each limb by itself", convention_words(bow_case.convention));
  if (!results.symmetric)
    text +=
        "Everything along a limb stands once for the upper and once for the lower limb: the column 'limb' of along_limb.csv,\n"
        "the groups upper and lower of results.h5. Tiller is the upper limb's distance from the string less the lower one's.\n";
  return text + "Files you add to this folder keep it from being replaced by the next run.\n";
}

void write_results(const fs::path &folder, const Case &bow_case, const DrawResults &results)
{
  write_text_file(folder / "answer.txt", answer(bow_case, results));
  write_text_file(folder / "summary.json", summary_json(bow_case, results));
  write_text_file(folder / "draw_curve.csv", csv(draw_curve_sheet(bow_case, results)));
  write_text_file(folder / "along_limb.csv", csv(along_limb_sheet(bow_case, results)));
  write_text_file(folder / "case.resolved.toml", bow_case.resolved);
  write_results_file(folder / results_file_name, bow_case, results);
}

void close_results(const fs::path &folder, const Case &bow_case, const DrawResults &results, RunRecord record)
{
  auto files = files_below(folder);
  write_text_file(folder / "README.txt", results_readme(bow_case, results, files));
  files.emplace_back("README.txt");
  files.emplace_back(manifest_name);
  record.finished = std::chrono::system_clock::now();
  record.peak_memory = peak_memory();
  write_text_file(folder / manifest_name, manifest_json(folder, bow_case, results, record, files));
}
} // namespace limbwright
