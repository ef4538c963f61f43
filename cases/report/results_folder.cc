#include "cases/report/results_folder.h"

#include "cases/report/manifest.h"
#include "cases/report/text_file.h"

#include <nlohmann/json.hpp>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <set>

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

namespace limbwright
{
namespace fs = std::filesystem;

namespace
{
/// The manifest as JSON; null when there is none that can be read.
nlohmann::json manifest_of(const fs::path &folder)
{
  try
  {
    return nlohmann::json::parse(read_text_file(folder / manifest_name));
  }
  catch (const std::exception &)
  {
    return {};
  }
}

bool is_ours(const nlohmann::json &manifest)
{
  return manifest.is_object() && manifest.contains("program") && manifest["program"] == "limbwright" &&
         manifest.contains("files") && manifest["files"].is_array();
}

/// A file in the folder that its manifest does not list; empty when there is none.
std::string unlisted_file(const fs::path &folder, const nlohmann::json &manifest)
{
  std::set<std::string> listed{manifest_name};
  for (const auto &file : manifest["files"])
    if (file.is_string())
      listed.insert(file.get<std::string>());
  const std::set<std::string> whole = listed;
  for (const std::string &file : whole)
    listed.insert(file + ".part"); // left by a program that was killed while it wrote the file anew
  for (const auto &entry : fs::recursive_directory_iterator(folder))
    if (!entry.is_directory() && listed.count(fs::relative(entry.path(), folder).generic_string()) == 0)
      return fs::relative(entry.path(), folder).string();
  return {};
}

void check_target(const fs::path &target)
{
  std::error_code error;
  if (fs::is_symlink(fs::symlink_status(target, error)))
    throw CannotWrite(target, "it is a link to something that does not exist; choose another folder with --out");
  const auto status = fs::status(target, error);
  if (status.type() == fs::file_type::not_found)
    return;
  if (error)
    throw CannotWrite(target, error.message());
  if (status.type() != fs::file_type::directory)
    throw CannotWrite(target, "a file of that name exists; choose another folder with --out");
  if (fs::is_empty(target, error) && !error)
    return;
  const auto manifest = manifest_of(target);
  if (!is_ours(manifest))
    throw CannotWrite(target, "the folder holds something other than results of this program; choose another folder with --out");
  const auto file = unlisted_file(target, manifest);
  if (!file.empty())
    throw CannotWrite(
        target, "the folder also holds '" + file +
                    "', which this program did not write and will not delete; move it, or choose another folder with --out");
}

void rename_or_throw(const fs::path &from, const fs::path &to)
{
  std::error_code error;
  fs::rename(from, to, error);
  if (error)
    throw CannotWrite(to, error.message());
}
} // namespace

bool is_results_folder(const fs::path &folder)
{
  return is_ours(manifest_of(folder));
}

namespace
{
fs::path final_place_of(const fs::path &target)
{
  std::error_code error;
  const fs::path place = fs::weakly_canonical(fs::absolute(target), error);
  if (error)
    throw CannotWrite(target, error.message());
  return place.has_filename() ? place : place.parent_path();
}

fs::path beside(const fs::path &place, const char *what)
{
  return place.parent_path() / ("." + place.filename().string() + what);
}
} // namespace

fs::path ResultsFolder::place_of(const fs::path &target)
{
  return beside(final_place_of(target), ".unfinished");
}

ResultsFolder::ResultsFolder(const fs::path &target) : final_place(final_place_of(target))
{
  std::error_code error;
  const auto parent = final_place.parent_path();
  unfinished = beside(final_place, ".unfinished");
  aside = beside(final_place, ".previous");

  fs::create_directories(parent, error);
  if (error)
    throw CannotWrite(parent, error.message());
  make_unfinished();
  try
  {
    put_back_or_clear();
    check_target(final_place);
    earlier = is_results_folder(final_place);
  }
  catch (const fs::filesystem_error &failure)
  {
    fs::remove_all(unfinished, error);
    ::close(lock);
    throw CannotWrite(final_place, failure.code().message());
  }
  catch (...)
  {
    fs::remove_all(unfinished, error);
    ::close(lock);
    throw;
  }
}

ResultsFolder::~ResultsFolder()
{
  std::error_code ignored;
  if (!unfinished.empty())
    fs::remove_all(unfinished, ignored);
  ::close(lock);
}

void ResultsFolder::make_unfinished()
{
  const auto open_and_lock = [this]
  {
    lock = ::open(unfinished.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (lock < 0)
      throw CannotWrite(unfinished, std::strerror(errno));
    if (::flock(lock, LOCK_EX | LOCK_NB) != 0 && errno == EWOULDBLOCK)
    {
      ::close(lock);
      throw CannotWrite(final_place, "another run is writing these results right now");
    }
  };
  if (::mkdir(unfinished.c_str(), 0777) != 0)
  {
    if (errno != EEXIST)
      throw CannotWrite(unfinished, std::strerror(errno));
    open_and_lock(); // left by a run that was killed, if nobody holds it
    std::error_code error;
    fs::remove_all(unfinished, error);
    ::close(lock);
    if (error || ::mkdir(unfinished.c_str(), 0777) != 0)
      throw CannotWrite(unfinished, error ? error.message() : std::strerror(errno));
  }
  open_and_lock();
}

void ResultsFolder::put_back_or_clear()
{
  if (!is_results_folder(aside))
    return;
  std::error_code error;
  if (fs::exists(final_place))
    fs::remove_all(aside, error); // the swap was done, only the clearing up was not
  else
    rename_or_throw(aside, final_place);
}

void ResultsFolder::flush() const
{
  try
  {
    for (const auto &entry : fs::recursive_directory_iterator(unfinished))
      flush_to_disk(entry.path());
  }
  catch (const fs::filesystem_error &failure)
  {
    throw CannotWrite(unfinished, failure.code().message());
  }
  flush_to_disk(unfinished);
}

void ResultsFolder::swap_in(Swap how)
{
  flush();
  std::error_code error;
  if (!fs::exists(final_place))
    rename_or_throw(unfinished, final_place);
  else if (how == Swap::exchange_if_possible &&
           ::renameat2(AT_FDCWD, unfinished.c_str(), AT_FDCWD, final_place.c_str(), RENAME_EXCHANGE) == 0)
    fs::remove_all(unfinished, error); // what bears this name now is the earlier folder
  else
  {
    rename_or_throw(final_place, aside);
    try
    {
      rename_or_throw(unfinished, final_place);
    }
    catch (const CannotWrite &)
    {
      fs::rename(aside, final_place, error);
      throw;
    }
    fs::remove_all(aside, error);
  }
  unfinished.clear();
  flush_to_disk(final_place.parent_path());
}
} // namespace limbwright
