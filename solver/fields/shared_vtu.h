#pragma once

#include "solver/fields/vtu_writer.h"
#include "solver/model/communicator.h"

#include <filesystem>
#include <string>
#include <vector>

namespace limbwright
{
/// The name of the file in which a process keeps its part of <stem>: <stem>.vtu, or one of the pieces that <stem>.pvtu joins.
std::string own_vtu(const Communicator &ranks, const std::string &stem);

/// Writes it and, by the first of several processes, what joins the pieces. The name of the whole. Throws CannotWriteFields.
std::string write_shared(const Communicator &ranks, const std::filesystem::path &folder, const std::string &stem,
                         const FieldMesh &mesh, const std::vector<FieldArray> &arrays);
} // namespace limbwright
