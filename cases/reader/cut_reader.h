#pragma once

#include "cases/reader/keys.h"
#include "meshing/shape/splits.h"

#include <string>
#include <vector>

namespace limbwright
{
/// A split as it is written.
struct SplitInput
{
  Split split;
  std::string lamination, limb;
};

/// A wrap as it is written.
struct WrapInput
{
  Wrap wrap;
  std::string material, limb;
};

const Section<SplitInput> &weak_split_section();
const Section<WrapInput> &weak_wrap_section();

/// Something written in a table of its own, and where.
template <class T>
struct Written
{
  T value;
  TomlView view;
};

/// [[weak.split]] and [[weak.wrap]] of this limb, whose laminations are read; complains about those that do not fit it.
std::vector<Written<Split>> read_splits(const TomlView &document, const TomlView &limb_view, const LimbDescription &limb);
std::vector<Written<WrapInput>> read_wraps(const TomlView &document, const TomlView &limb_view, const LimbDescription &limb);

/// Parts the limb's laminations at its splits, the last of all that is done with it; complains of splits that do not fit.
void divide_limb(const std::vector<Written<Split>> &splits, LimbDescription &limb);

/// Puts the wraps onto the limb, their material's stiffness and strength along the thread.
void put_wraps(const std::vector<Written<WrapInput>> &wraps, const std::map<std::string, Material> &materials,
               LimbDescription &limb);

/// A filling, where it is told, needs a strength; of a patch of glue or of a split.
void check_filling(const TomlView &view, const GluePatch &patch);
} // namespace limbwright
