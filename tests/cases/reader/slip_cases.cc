// What reads but is likely a slip, and what reads as TOML but makes no limb.
#include "good_case.h"

#include "cases/reader/plain_text.h"

#include <algorithm>
#include <filesystem>
#include <fstream>

#include <sys/stat.h>
#include <unistd.h>

using namespace limbwright;

namespace
{
/// A small bow of one stave; what a test changes stands in it as written here.
const std::string stave = R"(title = "Stave"
[bow]
nock_to_nock = "66 in"
brace_height = "6.5 in"
draw_length = "28 in"
[handle]
rigid_half_length = "4 in"
throat_to_back = "1.5 in"
[limb]
width = "1.4 in"
[[limb.lamination]]
name = "core"
material = "hard-maple"
thickness = "0.4 in"
[[limb.lamination]]
name = "facing"
material = "glass-bow"
thickness = "0.03 in"
[glue]
adhesive = "epoxy"
thickness = "0.004 in"
)";

std::string told(const std::vector<Diagnostic> &list)
{
  std::string text;
  for (const Diagnostic &one : list)
    text += format(one) + "\n";
  return text;
}

int line_of_text(const std::string &text, const std::string &piece)
{
  return static_cast<int>(std::count(text.begin(), text.begin() + static_cast<std::ptrdiff_t>(text.find(piece)), '\n')) + 1;
}
} // namespace

TEST_CASE("Likely slips are warned of where they stand, and sound bows are not", "[quick]")
{
  const ReadOutcome sound = read_case_text(stave, "stave.toml");
  INFO(told(sound.errors));
  REQUIRE(sound.read);
  CHECK(told(sound.warnings).empty());
  struct Slip
  {
    std::string from, to, key, fragment;
  };
  for (const Slip &slip : {
           Slip{"name = \"core\"", "name = \"Back core\"", "limb.lamination[1].name", "order reversed"},
           {"name = \"facing\"", "name = \"belly glass\"", "limb.lamination[2].name", "order reversed"},
           {"\"0.03 in\"", "\"0.3 in\"", "limb.lamination[2].thickness", "thick for glass"},
           {"\"0.03 in\"", "\"0.004 in\"", "", ""}, // thinner than the feather: an error, no slip
           {"\"0.004 in\"", "\"0.016 in\"", "glue.thickness", "thick for a glue line"},
           {"thickness = \"0.4 in\"", "butt = \"0.3 in\"\ntaper = \"-3 thou/in\"", "limb.lamination[1].taper", "negative"},
           {"throat_to_back = \"1.5 in\"", "throat_to_back = \"0.3 in\"", "handle.throat_to_back", "already 0.434 in thick"},
           {"draw_length = \"28 in\"", "draw_length = \"46 in\"", "bow.draw_length", "too long for this bow"},
       })
  {
    const std::string text = with(stave, slip.from, slip.to);
    const ReadOutcome outcome = read_case_text(text, "stave.toml");
    INFO(slip.to << "\n" << told(outcome.errors) << told(outcome.warnings));
    if (slip.key.empty())
    {
      CHECK_FALSE(outcome.read);
      continue;
    }
    REQUIRE(outcome.read);
    REQUIRE(outcome.warnings.size() == 1);
    CHECK(outcome.warnings[0].key == slip.key);
    CHECK(outcome.warnings[0].line == line_of_text(text, slip.to) + (slip.key.ends_with("taper") ? 1 : 0));
    CHECK(outcome.warnings[0].message.find(slip.fragment) != std::string::npos);
  }
  // A wedge that begins farther out grows toward the tip as it should; limbs on a riser of their own shape have no stack there.
  for (const auto &[from, to] :
       {std::pair<std::string, std::string>{"name = \"facing\"\nmaterial = \"glass-bow\"\nthickness = \"0.03 in\"",
                                            "name = \"tip overlay\"\nmaterial = \"hard-maple\"\nbutt = \"0.005 in\"\n"
                                            "taper = \"-3 thou/in\"\nstart = \"20 in\""},
        {"throat_to_back = \"1.5 in\"", "throat_to_back = \"0.4 in\"\nroot_back_offset = \"1.5 in\""}})
  {
    const ReadOutcome outcome = read_case_text(with(stave, from, to), "stave.toml");
    INFO(to << "\n" << told(outcome.errors) << told(outcome.warnings));
    CHECK(outcome.read);
    CHECK(outcome.warnings.empty());
  }
  const std::string knot = "[[weak.knot]]\nlamination = \"core\"\nstation = \"14 in\"\nstate = \"hole\"\ndiameter = ";
  CHECK(told(read_case_text(stave + knot + "\"1.5 in\"\n", "stave.toml").warnings)
            .find("weak.knot[1].diameter: the knot is as wide") != std::string::npos);
  CHECK(told(read_case_text(stave + knot + "\"1.3 in\"\n", "stave.toml").warnings).empty());
}

TEST_CASE("What makes no limb is an error with its line and a remedy", "[quick]")
{
  struct Fault
  {
    std::string from, to, key, fragment;
  };
  const std::string core = "thickness = \"0.4 in\"", facing = "thickness = \"0.03 in\"";
  for (const Fault &fault : {
           Fault{facing, "thickness = {s = \"in\", thickness = \"in\", rows = [[4, 0.06], [15, 0]]}",
                 "limb.lamination[2].thickness", "write end = \"15 in\""},
           {facing, "thickness = {s = \"in\", thickness = \"in\", rows = [[4, 0.06], [33, 0]]}", "limb.lamination[2].thickness",
            "end it before the limb's tip"},
           {facing, "thickness = {s = \"in\", thickness = \"in\", rows = [[10, 0], [33, 0.06]]}", "limb.lamination[2].thickness",
            "set start to"},
           {facing, "thickness = {s = \"in\", thickness = \"in\", rows = [[4, 0.06], [10, 0], [12, 0], [33, 0.06]]}",
            "limb.lamination[2].thickness", "as two laminations"},
           {"width = \"1.4 in\"", "width = \"1.4 in\"\nsection = {shape = \"crowned back\", radius = \"0.6 in\"}",
            "limb.section.radius", "at least half the width, 0.7 in"},
           {"\"hard-maple\"", "\"\"", "limb.lamination[1].material", "is empty"},
           {"\"hard-maple\"", "\"  \"", "limb.lamination[1].material", "is empty"},
           {"\"epoxy\"", "\"\"", "glue.adhesive", "is empty"},
           {"\"Stave\"", "\"Stave\\u001b[2J\"", "title", "control character"},
           {"\"Stave\"", "\"Sta\\u0085ve\"", "title", "control character"},
           {"\"Stave\"", "\"Sta\\u202eve\"", "title", "control character"},
           {"\"Stave\"", "\"Stave\\nBow\"", "title", "one line"},
           {"\"core\"", "\"co\\tre\"", "limb.lamination[1].name", "one line"},
       })
  {
    const std::string text = with(stave, fault.from, fault.to);
    const ReadOutcome outcome = read_case_text(text, "stave.toml");
    INFO(fault.to << "\n" << told(outcome.errors));
    CHECK_FALSE(outcome.read);
    bool met = false;
    for (const Diagnostic &error : outcome.errors)
      met = met || (error.key == fault.key && error.message.find(fault.fragment) != std::string::npos &&
                    error.line == line_of_text(text, fault.to) + (fault.key.ends_with("radius") ? 1 : 0));
    CHECK(met);
    // Nothing of what a terminal would obey comes back in a message.
    for (const char c : told(outcome.errors))
      CHECK((c == '\n' || static_cast<unsigned char>(c) >= 0x20));
  }
  CHECK(harmless("a\x1b[2J\xc2\x9b") == "a?[2J?");
  CHECK(harmless("Größe µ") == "Größe µ");
}

TEST_CASE("Rows are joined smoothly, or straight where the table says so", "[quick]")
{
  const std::string rows = "rows = [[4, 0.5], [8, 0.45], [33, 0.3]]}";
  const auto shape_of = [&](const std::string &head)
  { return read_sound(with(stave, "\"0.4 in\"", "{s = \"in\", thickness = \"in\", " + head + rows)).bow.upper.laminations[0]; };
  constexpr double inch = 0.0254;
  const auto smooth = shape_of("").thickness, straight = shape_of("between_rows = \"straight\", ").thickness;
  CHECK(smooth.smooth);
  CHECK_FALSE(straight.smooth);
  CHECK(straight.at(6. * inch) == Approx(0.475 * inch));
  CHECK(smooth.at(8. * inch) == Approx(0.45 * inch));
  CHECK(smooth.slope(8. * inch - 1e-9) == Approx(smooth.slope(8. * inch + 1e-9)).epsilon(1e-4));
  CHECK(smooth.at(20. * inch) == Approx(straight.at(20. * inch)).epsilon(1e-12));

  // Rows that begin farther out come to the level stretch before them without a corner.
  const std::string late =
      with(stave, "width = \"1.4 in\"", "width = {s = \"in\", width = \"in\", rows = [[15, 1.4], [33, 0.5]]}");
  const StationTable width = read_sound(late).bow.upper.width;
  CHECK(width.level_before);
  CHECK(width.slope(15. * inch + 1e-9) == Approx(0.).margin(1e-6));

  // What was left out is written out, and reads back the same.
  const Case again = read_sound(read_sound(late).resolved);
  CHECK(again.resolved.find("between_rows = \"smooth\"") != std::string::npos);
  CHECK(again.bow.upper.width.at(16. * inch) == width.at(16. * inch));

  const auto wrong = read_case_text(with(late, "rows = [[15", "between_rows = \"round\", rows = [[15"), "stave.toml");
  REQUIRE(wrong.errors.size() == 1);
  CHECK(wrong.errors[0].key == "limb.width.between_rows");
  CHECK(wrong.errors[0].message.find("\"smooth\"") != std::string::npos);
  // A side profile is a chain of arcs and takes no such word.
  CHECK_FALSE(read_case_text(
                  with(stave, "[limb]\n",
                       "[limb]\nprofile = {s = \"in\", lean = \"deg\", between_rows = \"smooth\", rows = [[4, 0], [33, 5]]}\n"),
                  "stave.toml")
                  .read);
}

TEST_CASE("Files beyond size, and what is no file, are refused at once", "[quick]")
{
  const std::filesystem::path folder =
      std::filesystem::temp_directory_path() / ("limbwright-sizes-" + std::to_string(::getpid()));
  std::filesystem::create_directories(folder);
  const auto refused = [&](const std::filesystem::path &file, const std::string &fragment)
  {
    const ReadOutcome outcome = read_case(file);
    INFO(told(outcome.errors));
    CHECK_FALSE(outcome.read);
    REQUIRE_FALSE(outcome.errors.empty());
    CHECK(outcome.errors[0].message.find(fragment) != std::string::npos);
  };
  const std::filesystem::path pipe = folder / "pipe.toml", big = folder / "big.toml";
  REQUIRE(::mkfifo(pipe.c_str(), 0600) == 0);
  refused(pipe, "not a plain file"); // and does not wait for a writer
  refused(folder, "is a folder");
  std::ofstream(big) << std::string(10'000'000, '#');
  refused(big, "10000000 bytes");
  std::filesystem::remove_all(folder);

  const auto refused_text = [](const std::string &text, const std::string &fragment)
  {
    const ReadOutcome outcome = read_case_text(text, "many.toml");
    CHECK_FALSE(outcome.read);
    CHECK(told(outcome.errors).find(fragment) != std::string::npos);
  };
  std::string many = stave;
  for (int i = 0; i < 1000; ++i)
    many += "[[limb.lamination]]\nname = \"" + std::to_string(i) + "\"\nmaterial = \"hard-maple\"\nthickness = \"0.01 in\"\n";
  refused_text(many, "1002 laminations are too many");
  std::string rows;
  for (int i = 0; i < 50000; ++i)
    rows += "[" + std::to_string(4. + i * 1e-4) + ", 1],";
  refused_text(with(stave, "\"1.4 in\"", "{s = \"in\", width = \"in\", rows = [" + rows + "]}"), "this one has 50000");
  refused_text(stave + "x = " + std::string(100000, '['), "nested deeper");
}
