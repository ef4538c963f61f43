#pragma once

#include "cases/report/hdf5_file.h"
#include "cases/report/result_fields.h"

#include <string>
#include <vector>

namespace limbwright
{
/// A table of rows read back, column by column.
template <class Row>
std::vector<Row> rows_of(const Hdf5Source &file, const std::string &place, const std::vector<ResultField<Row>> &fields)
{
  std::vector<Row> rows;
  for (const auto &field : fields)
    fill(rows, field, file.numbers(place + "/" + field.name));
  return rows;
}
} // namespace limbwright
