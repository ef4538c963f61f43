#include "good_case.h"

#include "cases/reader/case_reader.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

using namespace limbwright;

namespace
{
struct BadCase
{
  std::string old_text; // of the good case
  std::string new_text;
  std::string at; // text whose line the message must name; empty: that of new_text
  std::string key;
  std::string fragment; // of the message
};

int line_of(const std::string &text, const std::string &part)
{
  const auto found = text.find(part);
  REQUIRE(found != std::string::npos);
  return 1 + static_cast<int>(std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(found), '\n'));
}

const std::vector<BadCase> bad_cases = {
    // the file as such
    {"[bow]\n", "[bow\n", "", "", "not TOML"},
    {"draw_steps = 6", "draw_steps = ", "draw_steps = ", "", "not TOML"},
    {"title = \"Trial bow\"", "title = \"Trial bow", "", "", "the closing quote is missing"},
    {"\"6 in\"", "\u201c6 in\u201d", "", "", "curly quotes"},
    {"[solve]", "[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[solve]", "", "", "nested deeper"},
    {"growth = 1.4", "a.b.c.d.e.f.g.h.i.j.k.l.m.n.o.p.q.r.s.t = 1", "", "", "nested deeper"},
    {"growth = 1.4", "growth = 1.4\ngrowth = 1.5", "growth = 1.5", "", "not TOML"},
    // unknown and missing names
    {"title = \"Trial bow\"\n", "", "about", "title", "is missing"},
    {"title = \"Trial bow\"", "title = \"Trial bow\"\ntitel = \"x\"", "titel", "titel", "did you mean \"title\""},
    {"brace_height", "brace_heigth", "", "bow.brace_heigth", "did you mean \"brace_height\""},
    {"brace_height = \"6 in\"\n", "", "[bow]", "bow.brace_height", "is missing"},
    {"[handle]\nrigid_half_length = \"4 in\"\nthroat_to_back = \"1.75 in\"\n", "", "title", "handle", "the table is missing"},
    {"\"hard-maple\"\nthickness", "\"hard-mapel\"\nthickness", "hard-mapel", "limb.lamination[2].material",
     "did you mean \"hard-maple\""},
    {"\"white-ash\"", "\"unobtainium\"", "", "limb.lamination[1].material", "no material is named"},
    {"\"epoxy\"", "\"epoxi\"", "", "glue.adhesive", "did you mean \"epoxy\""},
    {"based_on = \"hard-maple\"", "based_on = \"hardmaple\"", "", "material.own.based_on", "did you mean \"hard-maple\""},
    {"shape = \"trapezoid\"", "shape = \"trapezium\"", "", "limb.section.shape", "not one of the choices"},
    {"ring = \"edge\"", "ring = \"egde\"", "", "limb.lamination[3].ring", "did you mean \"edge\""},
    {"[mesh]", "[mesch]", "", "mesch", "did you mean \"mesh\""},
    {"\"draw_weight_N\"", "\"draw_wieght_N\"", "", "expect[1].quantity", "did you mean \"draw_weight_N\""},
    {"E_L = \"12 GPa\"", "E_l = \"12 GPa\"", "", "material.own.E_l", "did you mean \"E_L\""},
    {"provenance = \"measured\"", "provenance = \"mesured\"", "", "material.own.density.provenance", "did you mean \"measured\""},
    {"width = {s = \"in\", width", "width = {s = \"in\", widht", "", "limb.width.widht", "did you mean \"width\""},
    {"back = 0.9", "bakc = 0.9", "", "limb.section.bakc", "did you mean \"back\""},
    // units
    {"brace_height = \"6 in\"", "brace_height = 6", "", "bow.brace_height", "has no unit"},
    {"brace_height = \"6 in\"", "brace_height = \"6\"", "", "bow.brace_height", "has no unit"},
    {"brace_height = \"6 in\"", "brace_height = \"6 lb\"", "", "bow.brace_height", "does not measure a length"},
    {"brace_height = \"6 in\"", "brace_height = \"six in\"", "", "bow.brace_height", "does not begin with a number"},
    {"brace_height = \"6 in\"", "brace_height = \"6,5 in\"", "", "bow.brace_height", "point, not a comma"},
    {"brace_height = \"6 in\"", "brace_height = \"6 inchs\"", "", "bow.brace_height", "is not known"},
    {"brace_height = \"6 in\"", "brace_height = \"6 10 in\"", "", "bow.brace_height", "not understood as a unit"},
    {"brace_height = \"6 in\"", "brace_height = [6]", "", "bow.brace_height", "not a list"},
    {"brace_height = \"6 in\"", "brace_height = true", "", "bow.brace_height", "not true or false"},
    {"brace_height = \"6 in\"", "brace_height = 1979-05-27", "", "bow.brace_height", "not a date"},
    {"brace_height = \"6 in\"", "brace_height = \"nan in\"", "", "bow.brace_height", "does not begin with a number"},
    {"brace_height = \"6 in\"", "brace_height = \"1e300 in\"", "", "bow.brace_height", "out of range"},
    {"brace_height = \"6 in\"", "brace_height = \"-6 in\"", "", "bow.brace_height", "out of range; allowed: 0.5 in to 20 in"},
    {"brace_height = \"6 in\"", "brace_height = \"1/0 in\"", "", "bow.brace_height", "not understood"},
    {"mass = \"150 grain\"", "mass = \"150 gr\"", "", "string.mass", "grains or grams"},
    {"EA = \"4700 lbf\"", "EA = \"4700 kg\"", "", "string.EA", "does not measure a force"},
    {"EA = \"4700 lbf\"", "EA = \"stiff\"", "", "string.EA", "inextensible"},
    {"E_L = \"12 GPa\"", "E_L = \"12 GPa m^0.5\"", "", "material.own.E_L", "not understood as a unit"},
    {"E_L = \"12 GPa\"", "E_L = 12", "", "material.own.E_L", "has no unit"},
    {"taper = \"1 thou/in\"", "taper = \"1 thou\"", "", "limb.lamination[3].taper", "does not measure a taper"},
    {"run_out = \"1 in 20\"", "run_out = \"1 in 0\"", "", "limb.lamination[3].run_out", "slope"},
    {"run_out = \"1 in 20\"", "run_out = \"5 %\"", "", "limb.lamination[3].run_out", "does not measure an angle"},
    {"{s = \"in\", width = \"in\",", "{width = \"in\",", "", "limb.width", "gives no unit for \"s\""},
    {"{s = \"in\", width = \"in\",", "{s = \"in\",", "{s = \"in\", rows", "limb.width", "gives no unit for \"width\""},
    {"width = \"in\"", "width = \"GPa\"", "", "limb.width.width", "does not measure a length"},
    {"width = \"in\"", "width = 1", "", "limb.width.width", "a unit in quotes"},
    // kinds of values
    {"growth = 1.4", "growth = \"1.4 in\"", "", "mesh.growth", "does not measure a ratio"},
    {"growth = 1.4", "growth = nan", "", "mesh.growth", "out of range"},
    {"growth = 1.4", "growth = inf", "", "mesh.growth", "out of range"},
    {"draw_steps = 6", "draw_steps = 6.5", "", "solve.draw_steps", "whole number"},
    {"draw_steps = 6", "draw_steps = 99999999999", "", "solve.draw_steps", "out of range"},
    {"draw_steps = 6", "plane = 2", "", "solve.plane", "must be text in quotes"},
    {"title = \"Trial bow\"", "title = 7", "", "title", "must be text in quotes"},
    {"between = [\"power lam\", \"back\"]", "between = [\"power lam\"]", "", "glue.line[1].between", "two lamination names"},
    {"rows = [[4, 1.6], [18, 1.5], [32, 0.5]]", "rows = []", "", "limb.width.rows", "1 to "},
    {"rows = [[4, 1.6], [18, 1.5], [32, 0.5]]", "rows = [[4, 1.6, 2], [32, 0.5]]", "", "limb.width.rows[1]", "two plain numbers"},
    {"rows = [[4, 1.6], [18, 1.5], [32, 0.5]]", "rows = 4", "", "limb.width.rows", "list of rows"},
    {"[[4, 1.6], [18, 1.5], [32, 0.5]]", "[[4, \"1.6 in\"], [32, 0.5]]", "", "limb.width.rows[1]", "two plain numbers"},
    // sense
    {"[[4, 1.6], [18, 1.5], [32, 0.5]]", "[[4, 1.6], [18, 1.5], [17, 0.5]]", "", "limb.width.rows[3][1]",
     "from the handle toward the tip"},
    {"[[4, 1.6], [18, 1.5], [32, 0.5]]", "[[4, 1.6], [18, 0], [32, 0.5]]", "", "limb.width.rows[2][2]", "out of range"},
    {"[[4, 1.6], [18, 1.5], [32, 0.5]]", "[[4, 1.6], [18, -1.5], [32, 0.5]]", "", "limb.width.rows[2][2]", "out of range"},
    {"[[4, 1.6], [18, 1.5], [32, 0.5]]", "[[-4, 1.6], [32, 0.5]]", "", "limb.width.rows[1][1]", "from 0 at center"},
    {"[[4, 1.6], [18, 1.5], [32, 0.5]]", "[[4, 1.6], [36, 0.5]]", "", "limb.width.rows[2]", "beyond the limb's tip at 32 in"},
    {"[[4, 0.4], [32, 0.25]]", "[[4, 0.4], [33, 0.25]]", "", "limb.lamination[1].thickness.rows[2]", "beyond the limb's tip"},
    {"lean = \"deg\", rows = [[4, 0], [32, 5]]", "lean = \"deg\", rows = [[4, 0], [20, 0], [20.2, -60], [32, -60]]", "",
     "limb.profile", "no layer can follow"},
    {"lean = \"deg\", rows = [[4, 0], [32, 5]]", "offset = \"in\", rows = [[4, 0], [5, 3], [32, 5]]", "", "limb.profile",
     "changes faster than the distance from center"},
    {"lean = \"deg\", rows = [[4, 0], [32, 5]]", "lean = \"deg\", rows = [[4, -40], [32, -40]]", "", "limb.profile",
     "hang slack"},
    {"lean = \"deg\", rows", "lean = \"deg\", offset = \"in\", rows", "", "limb.profile", "not both"},
    {"brace_height = \"6 in\"", "brace_height = \"20 in\"", "", "bow.brace_height", "is too high: the working limb"},
    {"draw_length = \"28 in\"", "draw_length = \"7 in\"", "", "bow.draw_length", "beyond the braced string"},
    {"draw_length = \"28 in\"", "draw_length = \"70 in\"", "", "bow.draw_length", "longer than the limbs and string"},
    {"rigid_half_length = \"4 in\"", "rigid_half_length = \"33 in\"", "[limb]", "limb", "nothing is left to bend"},
    {"end = \"14 in\"", "end = \"40 in\"", "", "limb.lamination[2].end", "beyond the limb's tip"},
    {"end = \"14 in\"", "end = \"3 in\"", "", "limb.lamination[2].end", "inside the stiff handle"},
    {"end = \"14 in\"", "start = \"20 in\"\nend = \"14 in\"", "end = \"14 in\"", "limb.lamination[2].end",
     "at or before its start"},
    {"end = \"14 in\"", "start = \"50 in\"", "", "limb.lamination[2].start", "at or beyond the limb's tip"},
    {"end = \"14 in\"", "end = \"8 in\"", "", "limb.lamination[2].end", "neighbors would not meet"},
    {"end = \"14 in\"", "end = \"14 in\"\nbevel = \"15 in\"", "bevel", "limb.lamination[2].bevel", "longer than the lamination"},
    {"[[4, 0.06], [14, 0]]", "[[4, 0.001], [14, 0]]", "[[limb.lamination]]\nname = \"power lam\"", "limb.lamination[2]",
     "nowhere thicker"},
    {"name = \"back\"", "name = \"belly\"", "name = \"belly\"\nmaterial = \"shag", "limb.lamination[3].name",
     "already has this name"},
    {"name = \"back\"", "name = \"\"", "", "limb.lamination[3].name", "is empty"},
    {"taper = \"1 thou/in\"", "taper = \"6 thou/in\"", "", "limb.lamination[3].taper", "reaches zero"},
    {"taper = \"1 thou/in\"\n", "", "[[limb.lamination]]\nname = \"back\"", "limb.lamination[3].thickness", "without taper"},
    {"taper = \"1 thou/in\"", "thickness = \"0.1 in\"", "butt", "limb.lamination[3].butt", "not both"},
    {"back = 0.9, belly = 1.0", "back = 0.9, belly = 0.8", "", "limb.section", "wider face must be 1"},
    {"shape = \"trapezoid\"", "shape = \"rectangle\"", "", "limb.section", "one width, back to belly"},
    {"depth = \"belly\"", "depth = 1.5", "", "limb.nock.depth", "out of range"},
    {"between = [\"power lam\", \"back\"]", "between = [\"belly\", \"back\"]", "", "glue.line[1].between", "not neighbors"},
    {"between = [\"power lam\", \"back\"]", "between = [\"power\", \"back\"]", "", "glue.line[1].between",
     "did you mean \"power lam\""},
    {"thickness = \"0.004 in\"", "thickness = \"0 in\"", "[glue]", "glue.bond_stiffness", "needs a stiffness"},
    {"thickness = \"0.004 in\"", "thickness = \"0.004 in\"\nbond_stiffness = \"1e14 Pa/m\"", "bond_stiffness",
     "glue.bond_stiffness", "leave out bond_stiffness"},
    {"thickness = \"0.006 in\"", "thickness = \"0.006 in\"\n[[glue.line]]\nbetween = [\"back\", \"power lam\"]",
     "[[glue.line]]\nbetween = [\"back\"", "glue.line[2]", "already given"},
    {"[glue]\nadhesive = \"epoxy\"\nthickness = \"0.004 in\"\n\n[[glue.line]]\nbetween = [\"power lam\", \"back\"]\nthickness = "
     "\"0.006 in\"\n",
     "", "[limb]", "glue", "several laminations"},
    {"nock_to_nock = \"64 in\"\n", "", "[limb]", "limb.length", "is missing"},
    {"[limb]\n", "[limb]\nlength = \"31 in\"\n", "length = \"31", "limb.length", "is not half of"},
    {"[mesh]", "[hold]\nnocking_height = \"1 in\"\n[mesh]", "[hold]", "hold", "goes with unlike limbs"},
    {"[mesh]", "[upper]\nwidth = \"1 in\"\n[mesh]", "[upper]", "upper", "there is also a [limb]"},
    {"E_L = \"12 GPa\"", "E_L = \"0.5 GPa\"\nnu_LR = 0.9", "[material.own]", "material.own", "not positive definite"},
    {"E_L = \"12 GPa\"", "E_L = \"-12 GPa\"", "", "material.own.E_L", "out of range"},
    {"based_on = \"hard-maple\"\n", "", "[material.own]", "material.own.E_R", "Properties have no defaults"},
    {"value = \"700 kg/m3\", ", "", "{provenance", "material.own.density", "has no value"},
    {"[mesh]", "[adhesive.own]\ndensity = \"1 g/cm3\"\nshear_modulus = \"1 GPa\"\n[mesh]", "[adhesive.own]",
     "adhesive.own.youngs_modulus", "is missing"},
    {"value = \"45 lbf\"", "value = \"45 in\"", "", "expect[1].value", "does not measure a force"},
    {"tolerance = \"3 %\"", "tolerance = \"-3 %\"", "", "expect[1].tolerance", "above zero"},
    {"tolerance = \"3 %\"", "tolerance = \"3 in\"", "", "expect[1].tolerance", "does not measure a force"},
};
} // namespace

TEST_CASE("Every mistake is told with its line and key and a remedy", "[quick]")
{
  for (const BadCase &bad : bad_cases)
  {
    std::string text = good_case;
    const auto found = text.find(bad.old_text);
    INFO("replacing " << bad.old_text << " by " << bad.new_text);
    REQUIRE(found != std::string::npos);
    text.replace(found, bad.old_text.size(), bad.new_text);
    const int line = line_of(text, bad.at.empty() ? bad.new_text : bad.at);
    const ReadOutcome outcome = read_case_text(text, "trial.toml");
    std::string told;
    bool met = false;
    for (const Diagnostic &error : outcome.errors)
    {
      told += format(error) + "\n";
      met = met || (error.line == line && error.key == bad.key && error.message.find(bad.fragment) != std::string::npos);
      CHECK(error.line > 0);
      CHECK(error.column > 0);
    }
    INFO("expected line " << line << ", key " << bad.key << ", message with: " << bad.fragment << "\ntold:\n" << told);
    CHECK(met);
    CHECK_FALSE(outcome.read.has_value());
  }
}

TEST_CASE("All mistakes of a file are told at once in its order", "[quick]")
{
  std::string text = good_case;
  for (const auto &[from, to] : {std::pair<std::string, std::string>{"\"6 in\"", "6"},
                                 {"\"4700 lbf\"", "\"4700 m\""},
                                 {"\"white-ash\"", "\"grey-ash\""},
                                 {"ring = \"edge\"", "rings = 3"},
                                 {"growth = 1.4", "growth = 99"}})
    text.replace(text.find(from), from.size(), to);
  const ReadOutcome outcome = read_case_text(text, "folder/trial.toml");
  std::vector<std::string> keys;
  for (const Diagnostic &error : outcome.errors)
    keys.push_back(error.key);
  CHECK(keys == std::vector<std::string>{"bow.brace_height", "string.EA", "limb.lamination[1].material",
                                         "limb.lamination[3].rings", "mesh.growth"});
  REQUIRE_FALSE(outcome.errors.empty());
  CHECK(format(outcome.errors.front()).rfind("folder/trial.toml:6:16: bow.brace_height: ", 0) == 0);
}

TEST_CASE("A file that is not there is told", "[quick]")
{
  const ReadOutcome outcome = read_case("no/such/file.toml");
  CHECK_FALSE(outcome.read);
  REQUIRE(outcome.errors.size() == 1);
  CHECK(format(outcome.errors[0]).find("cannot be read") != std::string::npos);
}

TEST_CASE("A file in UTF-16 is told as such", "[quick]")
{
  for (const std::string &text : {std::string("\xff\xfet\0i\0", 6), std::string("\xfe\xff\0t\0i", 6)})
  {
    const ReadOutcome outcome = read_case_text(text, "trial.toml");
    REQUIRE(outcome.errors.size() == 1);
    CHECK(outcome.errors[0].message.find("UTF-16") != std::string::npos);
  }
}

// Each file of bad/ says in its comments "# told: line: key: part of the message" what must be told about it.
TEST_CASE("Whole files with mistakes are told as they say themselves", "[quick]")
{
  int n_files = 0;
  for (const auto &entry : std::filesystem::directory_iterator(std::string(LIMBWRIGHT_TEST_DATA) + "/bad"))
  {
    if (entry.path().extension() != ".toml")
      continue;
    ++n_files;
    const ReadOutcome outcome = read_case(entry.path());
    CHECK_FALSE(outcome.read);
    std::string told;
    for (const Diagnostic &error : outcome.errors)
      told += std::to_string(error.line) + ": " + error.key + ": " + error.message + "\n";
    std::ifstream file(entry.path());
    int n_expected = 0;
    for (std::string line; std::getline(file, line);)
    {
      const std::string mark = "# told: ";
      if (line.rfind(mark, 0) != 0)
        continue;
      ++n_expected;
      INFO(entry.path().filename() << " expects " << line << "\ntold:\n" << told);
      CHECK(told.find(line.substr(mark.size())) != std::string::npos);
    }
    INFO(entry.path().filename());
    CHECK(n_expected > 0);
  }
  CHECK(n_files >= 4);
}
