#pragma once

#include "cases/reader/measured.h"
#include "materials/conditions.h"
#include "solver/bow_description.h"

#include <string>
#include <vector>

namespace limbwright
{
/// How a draw length is told. Inside, every draw runs from the pivot to the nocking point.
enum class DrawConvention
{
  pivot_plus_1_75_in, //!< pivot to nocking point plus 1.75 in, the trade's
  back_of_bow,        //!< to the back of the bow at the handle
  pivot               //!< to the pivot itself
};

/// A result the case itself expects; tests run these.
struct Expectation
{
  std::string quantity;  //!< key of summary.json, for example "draw_weight_N"
  double value = 0.;     //!< SI
  double tolerance = 0.; //!< SI, absolute
};

/// A case file, read: everything a run needs, SI inside.
struct Case
{
  std::string name; //!< file name without ending; names the results folder
  std::string title;
  std::string about;
  BowDescription bow;         //!< its materials as in the library or the file; see bow_in_use()
  Conditions conditions{};    //!< of use
  double throat_to_back = 0.; //!< [m] pivot to the back at the handle
  DrawConvention convention = DrawConvention::pivot_plus_1_75_in;
  bool stack_includes_glue = false; //!< lamination thicknesses in the file were measured with a glue line each
  MeshSettings mesh;
  SolveSettings solve;
  std::vector<Expectation> expectations;
  Measured measured{};  //!< on the bow or its strips
  std::string resolved; //!< the case with every default written out, as a case file that can be run again
};

/// The bow with its materials under the case's conditions, and what that did to each.
struct BowInUse
{
  BowDescription bow;
  std::vector<Adjustment> adjustments;
  std::vector<std::string> soft_glues; //!< adhesives as warm as where they soften
};
BowInUse bow_in_use(const Case &);

/// [m] what is added to a pivot-to-nocking-point distance when it is told in the case's convention.
double convention_offset(const Case &);
/// In words, for example "from the throat of the grip plus 1.75 in".
std::string convention_words(DrawConvention);
} // namespace limbwright
