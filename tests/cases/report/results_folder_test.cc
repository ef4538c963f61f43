#include "report/made_up_bow.h"

#include "cases/report/results_folder.h"
#include "cases/report/text_file.h"

#include <catch2/catch.hpp>

#include <memory>

using namespace limbwright;
using Catch::Contains;
namespace fs = std::filesystem;

namespace
{
void fill(const fs::path &folder, const std::string &text)
{
  fs::create_directories(folder);
  write_text_file(folder / "answer.txt", text);
  write_text_file(folder / "manifest.json", R"({"program": "limbwright", "files": ["answer.txt", "manifest.json"]})");
}

std::size_t n_entries(const fs::path &folder)
{
  return static_cast<std::size_t>(std::distance(fs::directory_iterator(folder), fs::directory_iterator()));
}
} // namespace

TEST_CASE("A whole folder takes the place of the earlier one, whatever the file system can", "[quick]")
{
  const made_up::Folder parent;
  const auto target = parent.path / "new" / "bow.results";
  const auto how = GENERATE(ResultsFolder::Swap::exchange_if_possible, ResultsFolder::Swap::move_aside);
  for (const std::string text : {"first", "second"})
  {
    ResultsFolder folder(target);
    CHECK(folder.replaces_earlier() == (text == "second"));
    fill(folder.place(), text);
    folder.swap_in(how);
  }
  CHECK(read_text_file(target / "answer.txt") == "second");
  CHECK(n_entries(target.parent_path()) == 1); // nothing is left beside it
}

TEST_CASE("A run that fails leaves the earlier results as they were", "[quick]")
{
  const made_up::Folder parent;
  const auto target = parent.path / "bow.results";
  fill(target, "earlier");
  {
    const ResultsFolder folder(target);
    write_text_file(folder.place() / "answer.txt", "half");
  }
  CHECK(read_text_file(target / "answer.txt") == "earlier");
  CHECK(n_entries(parent.path) == 1);
}

TEST_CASE("Folders and files of others are refused", "[quick]")
{
  const made_up::Folder parent;
  const auto target = parent.path / "bow.results";
  SECTION("a folder without our manifest")
  {
    fs::create_directory(target);
    write_text_file(target / "notes.txt", "mine");
    CHECK_THROWS_WITH(ResultsFolder(target), Contains("something other than results"));
    CHECK(read_text_file(target / "notes.txt") == "mine");
  }
  SECTION("a manifest of another program")
  {
    fs::create_directory(target);
    write_text_file(target / "manifest.json", R"({"program": "other", "files": []})");
    CHECK_THROWS_AS(ResultsFolder(target), CannotWrite);
  }
  SECTION("our results with a file added by hand")
  {
    fill(target, "earlier");
    write_text_file(target / "notes.txt", "mine");
    CHECK_THROWS_WITH(ResultsFolder(target), Contains("notes.txt"));
    CHECK(read_text_file(target / "notes.txt") == "mine");
  }
  SECTION("a file")
  {
    write_text_file(target, "mine");
    CHECK_THROWS_WITH(ResultsFolder(target), Contains("a file of that name"));
    CHECK(read_text_file(target) == "mine");
  }
  CHECK(n_entries(parent.path) == 1);
}

TEST_CASE("A link to nowhere is refused before anything is drawn", "[quick]")
{
  const made_up::Folder parent;
  fs::create_symlink(parent.path / "nowhere", parent.path / "link");
  CHECK_THROWS_WITH(ResultsFolder(parent.path / "link"), Contains("a link to something that does not exist"));
  CHECK(fs::is_symlink(parent.path / "link"));
  // One to a folder is followed.
  fs::create_directory(parent.path / "nowhere");
  {
    ResultsFolder folder(parent.path / "link");
    fill(folder.place(), "text");
    folder.swap_in();
  }
  CHECK(fs::is_symlink(parent.path / "link"));
  CHECK(read_text_file(parent.path / "nowhere" / "answer.txt") == "text");
}

TEST_CASE("An empty folder may be filled", "[quick]")
{
  const made_up::Folder parent;
  ResultsFolder folder(parent.path);
  fill(folder.place(), "text");
  folder.swap_in();
  CHECK(read_text_file(parent.path / "answer.txt") == "text");
}

TEST_CASE("A place where no folder can be made is told with the reason", "[quick]")
{
  const made_up::Folder parent;
  write_text_file(parent.path / "file", "text");
  CHECK_THROWS_WITH(ResultsFolder(parent.path / "file" / "bow.results"), Contains("Not a directory"));
}

TEST_CASE("A swap that was cut short is mended by the next start", "[quick]")
{
  const made_up::Folder parent;
  const auto target = parent.path / "bow.results";
  const auto aside = parent.path / ".bow.results.previous";
  fill(aside, "earlier");
  SECTION("before the new folder took the name: the earlier one is put back")
  {
    fill(parent.path / ".bow.results.unfinished", "whole, but not in place");
    {
      const ResultsFolder folder(target);
      CHECK(folder.replaces_earlier());
      CHECK(fs::is_empty(folder.place()));
    }
    CHECK(read_text_file(target / "answer.txt") == "earlier");
  }
  SECTION("after it: the earlier one is cleared away")
  {
    fill(target, "new");
    const ResultsFolder folder(target);
    CHECK(read_text_file(target / "answer.txt") == "new");
    CHECK_FALSE(fs::exists(aside));
  }
}

TEST_CASE("What is left of a file that was being written anew does not make the folder another's", "[quick]")
{
  const made_up::Folder parent;
  const auto target = parent.path / "bow.results";
  fill(target, "earlier");
  write_text_file(target / "answer.txt.part", "half");
  CHECK_NOTHROW(ResultsFolder(target));
}

TEST_CASE("Two runs do not write the same results at once", "[quick]")
{
  const made_up::Folder parent;
  auto first = std::make_unique<ResultsFolder>(parent.path / "bow.results");
  write_text_file(first->place() / "answer.txt", "half");
  CHECK_THROWS_WITH(ResultsFolder(parent.path / "bow.results"), Contains("another run"));
  CHECK(read_text_file(first->place() / "answer.txt") == "half");
  first.reset();
  CHECK_NOTHROW(ResultsFolder(parent.path / "bow.results"));
}

TEST_CASE("A swap that cannot be done leaves the earlier results in place", "[quick]")
{
  const made_up::Folder parent;
  const auto target = parent.path / "bow.results";
  fill(target, "earlier");
  ResultsFolder folder(target);
  fs::remove_all(folder.place()); // as if the disk had been taken away
  CHECK_THROWS_AS(folder.swap_in(ResultsFolder::Swap::move_aside), CannotWrite);
  CHECK(read_text_file(target / "answer.txt") == "earlier");
}
