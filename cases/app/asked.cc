#include "cases/app/asked.h"

#include "cases/app/read_and_tell.h"
#include "cases/app/terminal.h"
#include "cases/reader/units.h"
#include "cases/report/text_file.h"
#include "cases/study/case_edit.h"

#include <fmt/core.h>

namespace limbwright
{
std::optional<CaseAndText> read_at(const std::filesystem::path &file, const std::string &draw_length)
{
  auto bow_case = told(read_case(file));
  if (!bow_case)
    return std::nullopt;
  std::string text = read_text_file(file);
  if (draw_length.empty())
    return CaseAndText{std::move(*bow_case), std::move(text)};
  const EditedCase edited = with_value(text, "bow.draw_length", draw_length);
  if (!edited.error.empty())
  {
    warn("error: --at: " + edited.error + "\n");
    return std::nullopt;
  }
  bow_case = told(read_case_text(edited.text, file.string()));
  if (!bow_case)
    return std::nullopt;
  return CaseAndText{std::move(*bow_case), edited.text};
}

std::optional<double> weight_asked(const std::string &text)
{
  const Quantity weight = parse_quantity(text, Dimension::force);
  if (weight.error.empty() && weight.value >= 1. && weight.value <= 2000.)
    return weight.value;
  warn(fmt::format("error: --weight {}: {}\n", text,
                   weight.error.empty() ? "a draw weight is between 1 N and 2000 N (450 lbf)" : weight.error));
  return std::nullopt;
}

std::optional<Resizing> resizing_asked(const Case &bow_case, const std::string &by)
{
  std::string error;
  auto what = resizing(bow_case, by, error);
  if (!what)
    warn("error: --by: " + error + "\n");
  return what;
}
} // namespace limbwright
