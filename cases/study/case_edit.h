#pragma once

#include <string>
#include <vector>

namespace limbwright
{
/// A case file's text with something in it exchanged, or why that could not be done.
struct EditedCase
{
  std::string text;
  std::string error; //!< empty when sound
};

/// Gives keys of a case file another value; everything else stays as its author wrote it, comments included.
///
/// path: "bow.brace_height", "limb.lamination[2].thickness" (counted from 1 at the belly, as in messages), the same by name
/// "limb.lamination[belly glass].thickness" or just "belly glass.thickness" (then in every limb that has such a lamination), and
/// into tables of stations "limb.width.rows[4][2]" (row, column). Several paths joined by " + " get the same value.
/// value: as in the file, quotes may be left off ("0.036 in"); a cell of a table takes a bare number in its column's unit, or a
/// number with a unit, which is converted. A key that is not there yet is added to its table.
/// Whether the value makes sense there is for the reader to say.
EditedCase with_value(const std::string &case_text, const std::string &path, const std::string &value);

/// The text that stands at a path (the first, where several are meant); empty where there is none.
std::string written_at(const std::string &case_text, const std::string &path);
} // namespace limbwright
