#include "cases/app/make_pictures.h"

#include "cases/app/terminal.h"
#include "cases/report/page/picture_files.h"

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <string>
#include <vector>

#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

namespace limbwright
{
namespace fs = std::filesystem;

namespace
{
/// Why the command did not succeed; empty when it did. The program is looked up on the path.
std::string run(const std::vector<std::string> &words)
{
  std::vector<char *> arguments;
  for (const auto &word : words)
    arguments.push_back(const_cast<char *>(word.c_str()));
  arguments.push_back(nullptr);
  pid_t child = 0;
  if (const int error = ::posix_spawnp(&child, arguments[0], nullptr, nullptr, arguments.data(), environ); error != 0)
    return words.front() + ": " + std::strerror(error);
  int status = 0;
  while (::waitpid(child, &status, 0) < 0)
    if (errno != EINTR)
      return std::strerror(errno);
  if (WIFSIGNALED(status))
    return words.front() + " was ended by signal " + std::to_string(WTERMSIG(status));
  return WEXITSTATUS(status) == 0 ? std::string() : words.front() + " ended with code " + std::to_string(WEXITSTATUS(status));
}
} // namespace

bool make_pictures(const fs::path &results_folder)
{
  std::error_code error;
  const auto program = fs::read_symlink("/proc/self/exe", error).parent_path() / "limbwright-picture";
  std::string reason;
  if (error || !fs::is_regular_file(program))
    reason = "limbwright-picture is not next to this program";
  else
  {
    std::vector<std::string> words{program, results_folder, results_folder / pictures_folder};
    if (std::getenv("DISPLAY") == nullptr)
      words.insert(words.begin(), {"xvfb-run", "-a"});
    reason = run(words);
  }
  if (reason.empty())
    return true;
  fs::remove_all(results_folder / pictures_folder, error);
  warn("No pictures were made: " + reason + ". Everything else was written.\n");
  return false;
}
} // namespace limbwright
