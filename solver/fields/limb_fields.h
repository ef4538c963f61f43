#pragma once

#include "solver/failure/snapshot.h"

#include <filesystem>
#include <string>
#include <vector>

namespace limbwright
{
/// Writes <stem>.vtu (laminations) and <stem>_glue.vtu (glue lines) for a limb's displacements u and the nodal fields that the
/// judge has made of them, as recovered and, in arrays whose names end in ", as judged", with the structural values that the
/// answer rests on; returns the file names. Several processes write a piece each, of their own columns, and
/// <stem>.pvtu joins them. The points lie in the unstrung shape, the displacement is a field; a
/// lower limb is mirrored into the bow's frame.
/// Throws CannotWriteFields.
template <int dim>
std::vector<std::string> write_limb_fields(const std::filesystem::path &folder, const std::string &stem,
                                           const LayeredSolid<dim> &solid, const LimbJudgeOf<dim> &judge,
                                           const typename LimbJudgeOf<dim>::Verdict &verdict, const Eigen::VectorXd &u,
                                           bool mirrored);
} // namespace limbwright
