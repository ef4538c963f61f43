#pragma once

#include "cases/reader/case.h"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace limbwright
{
/// Something the case's author should know, and where it stands in the file.
struct Diagnostic
{
  std::string file;
  int line = 0;        //!< from 1; 0 when it belongs to the file as a whole
  int column = 0;      //!< from 1
  std::string key;     //!< path, for example "limb.lamination[2].thickness", laminations counted from 1 at the belly
  std::string message; //!< what is wrong, what is allowed, what to do
};

struct ReadOutcome
{
  std::optional<Case> read;         //!< present only when there are no errors
  std::vector<Diagnostic> errors;   //!< all of them, in the order of the file
  std::vector<Diagnostic> warnings; //!< the case can be run, but look at these
};

/// Reads and checks a case file. Never throws for what stands in the file; a file that cannot be opened is an error as well.
ReadOutcome read_case(const std::filesystem::path &file);

/// The same from text; `file_name` is used in messages and, without folder and ending, as the case's name.
ReadOutcome read_case_text(const std::string &text, const std::string &file_name);

/// "file:line:column: key: message".
std::string format(const Diagnostic &diagnostic);
} // namespace limbwright
