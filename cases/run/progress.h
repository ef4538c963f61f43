#pragma once

#include <functional>
#include <string>

namespace limbwright
{
/// Told while a run works, after each solved step.
struct ProgressEvent
{
  std::string stage;
  int step = 0;
  int n_steps = 0;
  double draw = 0.; //!< [m] pivot to nocking point
  int iterations = 0;
  int n_following = 0; //!< small steps since the last step, following a loose layer or opening glue
};

using ProgressListener = std::function<void(const ProgressEvent &)>;
} // namespace limbwright
