#include "cases/report/page/write_page.h"

#include "cases/reader/embedded_files.h"
#include "cases/report/page/picture_files.h"
#include "cases/report/text_file.h"

#include <stdexcept>

namespace limbwright
{
namespace
{
std::string embedded(const std::string &name)
{
  for (const auto &file : embedded_page())
    if (file.name == name)
      return file.text;
  throw std::logic_error("the program carries no file '" + name + "'");
}

void replace_mark(std::string &text, const std::string &name, const std::string &content)
{
  const std::string mark = "<!-- " + name + " -->";
  const auto place = text.find(mark);
  if (place == std::string::npos)
    throw std::logic_error("the page's template has no mark '" + name + "'");
  text.replace(place, mark.size(), content);
}

/// Text as it may stand in HTML.
std::string escaped(const std::string &text)
{
  std::string result;
  for (const char c : text)
    result += c == '&' ? "&amp;" : c == '<' ? "&lt;" : c == '>' ? "&gt;" : std::string(1, c);
  return result;
}

/// JSON that no browser takes for the end of its script: "<" stands in strings alone.
std::string safe_json(const std::string &json)
{
  std::string result;
  result.reserve(json.size());
  for (const char c : json)
    result += c == '<' ? "\\u003c" : std::string(1, c);
  return result;
}
} // namespace

std::string whole_page(const std::string &title, const std::string &data)
{
  // The libraries first, with their licence, then ours, in the order in which they use each other.
  std::string scripts;
  for (const char *name : {"notice.js", "d3.min.js", "plot.umd.min.js", "units.js", "charts.js", "draw_curve.js", "shapes.js",
                           "along_limb.js", "places.js", "report.js", "comparison.js", "study.js", "start.js"})
    scripts += embedded(name) + "\n";
  std::string page = embedded("report.html");
  // From the end of the template, so that nothing put in is searched for marks.
  replace_mark(page, "scripts", scripts);
  replace_mark(page, "data", safe_json(data));
  replace_mark(page, "style", embedded("page.css"));
  replace_mark(page, "title", escaped(title));
  return page;
}

void write_page(const std::filesystem::path &folder)
{
  write_page(folder, read_results_file(folder / results_file_name));
}

void write_page(const std::filesystem::path &folder, const StoredRun &run)
{
  const auto &title = run.bow_case.title.empty() ? run.bow_case.name : run.bow_case.title;
  write_text_file(folder / page_file_name, whole_page(title, page_data(run, pictures_in(folder))));
}

void write_comparison_page(const std::filesystem::path &file, const std::vector<ComparedRun> &runs)
{
  write_text_file(file, whole_page("Bows side by side", comparison_data(runs)));
}
} // namespace limbwright
