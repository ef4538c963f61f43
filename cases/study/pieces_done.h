#pragma once

#include <chrono>
#include <string>

namespace limbwright
{
/// ", about 40 s left"
std::string left_words(double seconds);

/// Tells how far a task of many like pieces is, and how long the rest will take.
class PiecesDone
{
public:
  explicit PiecesDone(std::size_t n_pieces) : pieces(n_pieces) {}
  /// "5 of 64 done, about 40 s left"
  std::string words(std::size_t done) const;

private:
  std::size_t pieces;
  std::chrono::steady_clock::time_point start = std::chrono::steady_clock::now();
};
} // namespace limbwright
