#pragma once

#include <cstdio>
#include <string>

namespace limbwright
{
/// A length [m] as messages of this floor tell it.
inline std::string inches(double length)
{
  char text[32];
  std::snprintf(text, sizeof text, "%.4g in", length / 0.0254);
  return text;
}
} // namespace limbwright
