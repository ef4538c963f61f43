#pragma once

#include "solver/failure/limb_sections.h"
#include "solver/results.h"

#include <functional>
#include <map>
#include <utility>
#include <vector>

namespace limbwright
{
/// The greatest value of a quantity along the limb.
struct SectionPeak
{
  double value = 0.;   //!< [1]
  double station = 0.; //!< [m]
};

/// How the sections of a limb fare along the draw, close enough for straight lines between.
struct SectionCurve
{
  std::vector<double> draws;                                                     //!< [m] ascending
  std::vector<SectionPeak> yielded;                                              //!< at each: fraction of a section
  std::map<std::pair<int, FailureMode>, std::vector<SectionPeak>> by_lamination; //!< at each: index along the grain
};

/// The sections in one solved state.
template <int dim>
struct SectionStep
{
  double draw = 0.; //!< [m]
  std::vector<typename LimbSections<dim>::Groups> forces;
  std::vector<FibreSectionState> states; //!< after it
};

/// Between solved steps the forces of every section go as cubics of the draw, with the slopes of parabolas through three
/// neighboring steps, and its fibres follow them from each step's state. A few points through the thickness and a few long steps
/// would find a yield event inches from where it is.
template <int dim>
SectionCurve section_curve(const LimbSections<dim> &sections, const std::vector<double> &stations,
                           const std::vector<SectionStep<dim>> &steps,
                           const std::function<const Material &(int lamination)> &material);
} // namespace limbwright
