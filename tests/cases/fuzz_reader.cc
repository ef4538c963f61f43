#include "cases/reader/case_reader.h"
#include "cases/reader/embedded_files.h"
#include "cases/report/text_file.h"
#include "fuzz/reader_promises.h"

#include <catch2/catch.hpp>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdlib>
#include <random>
#include <string>
#include <vector>

using namespace limbwright;

namespace
{
using Random = std::mt19937_64;

std::size_t below(Random &random, std::size_t n)
{
  return n == 0 ? 0 : static_cast<std::size_t>(random() % n);
}

/// Where a word, number or bracket begins.
std::vector<std::size_t> tokens(const std::string &text)
{
  std::vector<std::size_t> list;
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i] != ' ' && text[i] != '\n' && (i == 0 || std::string(" \n[{\"=,").find(text[i - 1]) != std::string::npos))
      list.push_back(i);
  return list;
}

std::size_t token_end(const std::string &text, std::size_t begin)
{
  return std::min(text.find_first_of(" \n]}\"=,", begin + 1), text.size());
}

void mutate(std::string &text, Random &random)
{
  static const std::array<const char *, 22> extremes = {
      "1e308", "-1e308", "1e-320", "nan",   "inf",     "-0.0",    "99999999999999999999", "0x7f",
      "0",     "-1",     "1/0",    "\"\"",  "[[[[",    "{}",      "1979-05-27",           "true",
      "1e9",   "0.0001", "''",     "a.b.c", "\\u0000", "\xff\xfe"};
  if (text.empty())
    text = "x";
  const auto list = tokens(text);
  const std::size_t place = below(random, text.size());
  switch (below(random, 7))
  {
  case 0: // flip bits of a byte
    text[place] = static_cast<char>(text[place] ^ (1 << below(random, 8)));
    break;
  case 1: // delete a piece
    text.erase(place, 1 + below(random, 40));
    break;
  case 2: // repeat a piece
    text.insert(place, text.substr(below(random, text.size()), 1 + below(random, 200)));
    break;
  case 3: // a number or word becomes extreme
  case 4:
    if (!list.empty())
    {
      const std::size_t begin = list[below(random, list.size())];
      text.replace(begin, token_end(text, begin) - begin, extremes[below(random, extremes.size())]);
    }
    break;
  case 5: // one word takes the place of another
    if (!list.empty())
    {
      const std::size_t from = list[below(random, list.size())], to = list[below(random, list.size())];
      const std::string word = text.substr(from, token_end(text, from) - from);
      text.replace(to, token_end(text, to) - to, word);
    }
    break;
  default: // a byte at random
    text.insert(place, 1, static_cast<char>(below(random, 256)));
  }
}
} // namespace

TEST_CASE("Spoilt case files are refused or read and never crash or hang", "[fuzz]")
{
  const char *wish = std::getenv("LIMBWRIGHT_FUZZ_SECONDS");
  const double seconds = wish == nullptr ? 5. : std::atof(wish);
  const auto examples = embedded_examples();
  REQUIRE_FALSE(examples.empty());
  Random random(20240607);
  int n_read = 0, n_refused = 0;
  using Clock = std::chrono::steady_clock;
  const auto begin = Clock::now();
  const auto passed = [](Clock::time_point since) { return std::chrono::duration<double>(Clock::now() - since).count(); };
  while (passed(begin) < seconds)
  {
    std::string text = examples[below(random, examples.size())].text;
    const std::size_t n_changes = 1 + below(random, 6);
    for (std::size_t i = 0; i < n_changes; ++i)
      mutate(text, random);
    INFO(text);
    bool read = false;
    REQUIRE_NOTHROW(read = fuzz::keeps_promises(text));
    ++(read ? n_read : n_refused);
  }
  INFO(n_read << " read, " << n_refused << " refused");
  CHECK(n_refused > 0);
  CHECK(n_read > 0);
}

TEST_CASE("Cases that were trouble once are refused or read", "[quick]")
{
  int n = 0;
  for (const auto &entry :
       std::filesystem::directory_iterator(std::filesystem::path(LIMBWRIGHT_TEST_DATA) / "../fuzz/corpus/reader"))
  {
    INFO(entry.path().string());
    CHECK_NOTHROW(fuzz::keeps_promises(read_text_file(entry.path())));
    ++n;
  }
  CHECK(n > 0);
}

TEST_CASE("Giant and deep input is refused at once", "[quick]")
{
  const auto begin = std::chrono::steady_clock::now();
  std::string chain = "a";
  for (int i = 0; i < 100000; ++i)
    chain += ".a";
  std::string rows = "title = \"x\"\n[limb]\nwidth = {s = \"in\", width = \"in\", rows = [";
  for (int i = 0; i < 60000; ++i)
    rows += "[1, 2],";
  for (const std::string &text :
       {std::string(200000, '['), std::string(200000, '{'), "x = " + std::string(100000, '[') + std::string(100000, ']'),
        chain + " = 1", "[" + chain + "]", rows + "]}", std::string(5000000, 'a'), std::string(900000, '"'),
        "title = \"" + std::string(900000, 'b') + "\"\n" + std::string(900, 'c') + " = 1", std::string()})
  {
    const ReadOutcome outcome = read_case_text(text, "giant.toml");
    CHECK_FALSE(outcome.read);
    CHECK_FALSE(outcome.errors.empty());
    for (const Diagnostic &error : outcome.errors)
      CHECK(format(error).size() < 3000);
  }
  CHECK(std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count() < 20.);
}
