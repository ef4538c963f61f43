#include "fuzz/results_promises.h"

#include "cases/report/answer.h"
#include "cases/report/comparison.h"
#include "cases/report/hdf5_file.h"
#include "cases/report/page/page_data.h"
#include "cases/report/read_results.h"
#include "cases/report/result_tables.h"
#include "cases/report/summary.h"

#include <hdf5.h>

#include <algorithm>
#include <array>
#include <limits>
#include <optional>
#include <stdexcept>
#include <string>
#include <vector>

namespace limbwright::fuzz
{
namespace
{
herr_t note_data_set(hid_t, const char *name, const H5O_info_t *info, void *list)
{
  if (info->type == H5O_TYPE_DATASET)
    static_cast<std::vector<std::string> *>(list)->emplace_back(name);
  return 0;
}

std::vector<std::string> data_sets(hid_t file)
{
  std::vector<std::string> names;
  H5Ovisit2(file, H5_INDEX_NAME, H5_ITER_INC, note_data_set, &names, H5O_INFO_BASIC);
  return names;
}

double spoilt_number(Choices &choices, double before)
{
  constexpr std::array<double, 14> values = {std::numeric_limits<double>::quiet_NaN(),
                                             std::numeric_limits<double>::infinity(),
                                             -std::numeric_limits<double>::infinity(),
                                             0.,
                                             -0.,
                                             -1.,
                                             -2.,
                                             0.5,
                                             1.,
                                             99.,
                                             1e9,
                                             1e300,
                                             -1e300,
                                             1e-320};
  const std::size_t which = choices.below(values.size() + 3);
  if (which < values.size())
    return values[which];
  return which == values.size() ? -before : which == values.size() + 1 ? before * 1e6 : choices.number<double>();
}

void spoil_values(hid_t data, Choices &choices)
{
  const hid_t type = H5Dget_type(data), space = H5Dget_space(data);
  const std::size_t n = static_cast<std::size_t>(std::max<hssize_t>(0, H5Sget_simple_extent_npoints(space)));
  const std::size_t size = H5Tget_size(type);
  std::vector<char> bytes(n * size);
  if (n > 0 && H5Dread(data, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, bytes.data()) >= 0)
  {
    char *one = bytes.data() + choices.below(n) * size;
    if (H5Tget_class(type) == H5T_FLOAT)
    {
      double value = 0.;
      std::memcpy(&value, one, sizeof value);
      value = spoilt_number(choices, value);
      std::memcpy(one, &value, sizeof value);
    }
    else if (choices.below(2) == 0)
      std::memcpy(one, bytes.data() + choices.below(n) * size, size); // another word of the column
    else
      for (std::size_t i = 0; i < std::min<std::size_t>(size, 8); ++i)
        one[choices.below(size)] = static_cast<char>(choices.number<std::uint8_t>());
    H5Dwrite(data, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, bytes.data());
  }
  H5Sclose(space);
  H5Tclose(type);
}

void spoil_length(hid_t file, const std::string &name, hid_t data, Choices &choices)
{
  const hid_t type = H5Dget_type(data);
  const hsize_t n = choices.below(4) * choices.below(200);
  H5Ldelete(file, name.c_str(), H5P_DEFAULT);
  if (choices.below(4) > 0)
  {
    const hid_t space = H5Screate_simple(1, &n, nullptr);
    const hid_t made = H5Dcreate2(file, name.c_str(), type, space, H5P_DEFAULT, H5P_DEFAULT, H5P_DEFAULT);
    const std::vector<char> zeros(n * H5Tget_size(type), '\0');
    if (n > 0 && made >= 0)
      H5Dwrite(made, type, H5S_ALL, H5S_ALL, H5P_DEFAULT, zeros.data());
    if (made >= 0)
      H5Dclose(made);
    H5Sclose(space);
  }
  H5Tclose(type);
}
} // namespace

void spoil_stored(const std::filesystem::path &results_file, Choices choices)
{
  H5Eset_auto2(H5E_DEFAULT, nullptr, nullptr);
  const hid_t file = H5Fopen(results_file.c_str(), H5F_ACC_RDWR, H5P_DEFAULT);
  if (file < 0)
    throw std::logic_error("there is no file to spoil");
  const std::vector<std::string> names = data_sets(file);
  for (int edit = 0; edit < 8 && choices.any(); ++edit)
  {
    const std::string &name = names[choices.below(names.size())];
    const hid_t data = H5Dopen2(file, name.c_str(), H5P_DEFAULT);
    if (data < 0)
      continue;
    if (choices.below(8) == 0)
      spoil_length(file, name, data, choices);
    else
      spoil_values(data, choices);
    H5Dclose(data);
  }
  H5Fclose(file);
  seal(results_file);
}

bool tells_or_refuses(const std::filesystem::path &results_file)
{
  std::optional<StoredRun> run;
  try
  {
    run = read_results_file(results_file);
  }
  catch (const std::runtime_error &)
  {
    return false;
  }
  const std::string told = answer(run->bow_case, run->results) + summary_json(run->bow_case, run->results) +
                           csv(along_limb_sheet(run->bow_case, run->results)) +
                           csv(draw_curve_sheet(run->bow_case, run->results)) + page_data(*run, {});
  const auto side_by_side = compared({*run, *run}, {"one", "other"}, run->results.draw_weight > 0.);
  if (told.empty() || comparison_table(side_by_side).empty())
    throw std::logic_error("nothing was told");
  return true;
}
} // namespace limbwright::fuzz
