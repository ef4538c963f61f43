#pragma once

#include "cases/reader/case.h"

#include <optional>

namespace limbwright
{
/// What is made thicker or wider to come to a weight.
struct Resizing
{
  bool width = false;                   //!< else thickness
  std::vector<std::string> laminations; //!< belly to back, whose thickness is changed; the same in both limbs
  /// A lamination that runs the whole limb is ground to the same taper with another butt: the same is added everywhere. A piece
  /// that feathers out within the limb keeps its ends and is thickened in proportion. A width keeps its outline: every width is
  /// multiplied alike.
  bool in_proportion = false;

  double lowest = 0., highest = 0.; //!< amounts of sense: [m] added to each lamination; [1] share added to every width
};

/// word: "width", the name of a lamination, or "core": the laminations that run the whole limb, without the facings (the
/// outermost on the back where there is more than one, and one of glass or the like on the belly); of them those that taper,
/// where any does, for a parallel is bought to a gauge. Complains in `error`.
std::optional<Resizing> resizing(const Case &bow_case, const std::string &word, std::string &error);

/// The case with the amount added. [m] or [1], see Resizing
Case resized(const Case &bow_case, const Resizing &what, double amount);

/// The text of the case file with the same amount added, to six digits; everything else as it stands.
std::string resized_text(const std::string &case_text, const Case &bow_case, const Resizing &what, double amount);
} // namespace limbwright
