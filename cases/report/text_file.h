#pragma once

#include <filesystem>
#include <stdexcept>
#include <string>

namespace limbwright
{
/// A file or folder that cannot be written; the message names it and the reason.
class CannotWrite : public std::runtime_error
{
public:
  CannotWrite(const std::filesystem::path &path, const std::string &reason)
      : std::runtime_error("cannot write " + path.string() + ": " + reason)
  {
  }
};

enum class Existing
{
  replace,
  refuse
};

/// Writes the whole text and has it on the disk before returning. What it replaces stays until the new file is whole: it is
/// written as "NAME.part" first. Throws CannotWrite; nothing of the new file is then left.
void write_text_file(const std::filesystem::path &path, const std::string &text, Existing existing = Existing::replace);

/// The whole file. Throws std::runtime_error with path and reason.
std::string read_text_file(const std::filesystem::path &path);

/// Has a file's or folder's content on the disk. Throws CannotWrite; a file system that knows no such request is let pass.
void flush_to_disk(const std::filesystem::path &path);
} // namespace limbwright
