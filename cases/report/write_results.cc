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
  return "Fields (for any program that reads VTK files; the .pvd plays all steps)\n" + collections +
         "  Time in a .pvd is the draw length in INCHES from the throat of the grip to the nocking point: 0 is unstrung,\n"
         "  brace height is braced. After full draw comes the let-down; there, time goes on by the inches the string\n"
         "  goes back. Warp the shape by the field 'displacement [m]', at scale 1.\n"
         "  In limb.pvd look at\n"
         "    'strain along grain [1]', 'stress along grain [Pa]'        belly and back: where the limb works hardest\n"
         "    'shear stress on grain plane [Pa]'                         splitting along the grain\n"
         "    'index tension along grain [1]' and every other 'index'    fraction of a strength used; 1 = failure\n"
         "    'index crushing (belly strain over bending strength strain) [1]', 'plastic shortening along grain [1]'\n"
         "                                                               the belly, and the set it keeps\n"
         "    the same names, ending in: as judged                       what the answer uses: near ends and corners,\n"
         "                                                               strain from the section forces, without the\n"
         "                                                               peaks that the mesh makes there\n"
         "    'layer from belly', 'material', 'judged by the plane section'   for picking out parts\n" +
         (collections.find("glue_lines") == std::string::npos
              ? std::string()
              : std::string("  In glue_lines.pvd look at\n"
                            "    'shear [Pa]', 'peel [Pa]'                                  peel + pulls the glue open\n"
                            "    'index glue shear [1]', 'index glue peel [1]'              fraction of the strength used\n"
                            "    'share of fracture energy spent [1]'                       damage; at 1 the glue is open\n")) +
         (changes
              ? std::string("  In change_from_sound.vtu every 'change of ...' is the bow as described minus the same bow without "
                            "its flaws,\n  at the last draw; the fields of that bow are in sound/. change_from_as_found.vtu does "
                            "the same for a\n  repaired bow, against the bow before the repair.\n")
              : std::string()) +
         "  Field names end with the unit in brackets: lengths m, stresses Pa, strains and indices 1.\n"
         "  Stresses are second Piola-Kirchhoff, strains Green-Lagrange, along the grain of the unstrung limb. Within one\n"
         "  thickness of a clamp, a nock or the end of a layer, values grow with a finer mesh. Judge those places by\n"
         "  the worst places in summary.json, which are averaged there.\n" +
         (symmetric ? "  The files hold one limb; the other is its mirror image.\n"
                    : "  The upper limb is in the files step_N.vtu, the lower limb in step_N_lower.vtu, where it belongs below\n"
                      "  the handle; the .pvd shows both.\n");
}
} // namespace

std::string results_readme(const Case &bow_case, const DrawResults &results, const std::vector<std::string> &files)
{
  std::string text =
      "Results of limbwright " + program_version() + " for " + (bow_case.title.empty() ? bow_case.name : bow_case.title) + "\n\n";
  if (!results.complete)
    text += "THE RUN IS NOT COMPLETE. Failed stage: " + results.failed_stage + ". Reason: " + results.reason +
            "\nThe files hold the bow up to the last draw it reached.\n\n";
  text += "  report.html         the answer with charts, for any browser; start here\n"
          "  answer.txt          the answer in words only\n"
          "  draw_curve.csv      weight by inch of draw; opens in any spreadsheet\n"
          "  along_limb.csv      strain and stress at every layer face and glue line along the limb, at the last draw reached\n"
          "  summary.json        the numbers and the worst places, for scripts (SI; units at the end of every key)\n"
          "  results.h5          everything, every step (HDF5; SI, units as attributes)\n"
          "  case.resolved.toml  the bow file with every default written out; can be run again\n"
          "  manifest.json       versions, times, sizes, and the list of files with their checksums\n\n";
  text += fields_text(files, results.symmetric);
  text += fmt::format(
      "\nStations are distances from center (the middle of the handle) along the back{}. Draw length is measured {};\nin "
      "summary.json and results.h5 it runs from the throat of the grip to the nocking point, unless the key says 'told'.\n",
      results.symmetric ? "" : ", for each limb separately", convention_words(bow_case.convention));
  if (!results.symmetric)
    text += "Everything along a limb comes twice, for the upper and for the lower limb: see the column 'limb' of along_limb.csv\n"
            "and the groups upper and lower of results.h5. Tiller is the upper limb's distance to the string minus the lower "
            "one's.\n";
  return text + "If you add files to this folder, the next run will not replace it.\n";
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
