#pragma once

#include "cases/report/page/study_page.h"
#include "cases/report/table.h"
#include "cases/study/bow_figures.h"
#include "cases/study/sizing.h"

#include <functional>
#include <string>
#include <vector>

namespace limbwright
{
/// One key of a case (see with_value()) and the values it takes.
struct VariedKey
{
  std::string path;
  std::vector<std::string> values;
};

/// "PATH = V1, V2, ..." or "PATH = FROM to TO by STEP", where FROM, TO and STEP have units or are bare numbers. Complains in
/// `error`.
VariedKey parse_varied_key(const std::string &text, std::string &error);

struct VariedBow
{
  std::vector<std::string> values; //!< one per key
  std::string failure;             //!< why there are no figures; empty when there are
  BowFigures figures;
  double amount = 0.; //!< what was added to come to the weight, see Resizing; 0 where it was left as it is
  int solutions = 0;
};

struct Variation
{
  std::vector<VariedKey> keys;
  std::string by;     //!< what is resized, see resizing(); empty: every bow is left as it is
  double weight = 0.; //!< [N] to which
};

/// Every combination of the keys' values, the last key's fastest.
std::vector<std::vector<std::string>> combinations(const std::vector<VariedKey> &keys);

/// One of them: read anew with its values, resized to the weight where asked, drawn and let down once.
VariedBow vary_one(const std::string &case_text, const std::string &file_name, const Variation &variation,
                   const std::vector<std::string> &values, const std::atomic<bool> *stop);

/// A row each, for csv().
Table variation_table(const Variation &variation, const std::vector<VariedBow> &bows);
/// The same for the page.
StudyTable variation_page(const Case &bow_case, const Variation &variation, const std::vector<VariedBow> &bows);
/// The same for people.
std::string variation_words(const Case &bow_case, const Variation &variation, const std::vector<VariedBow> &bows);
} // namespace limbwright
