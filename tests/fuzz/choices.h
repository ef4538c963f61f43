#pragma once

#include <cstddef>
#include <cstdint>
#include <cstring>

namespace limbwright::fuzz
{
/// Choices made by bytes, of a fuzzer or a generator: the same bytes, the same choices. Zeros when there are none left.
class Choices
{
public:
  Choices(const std::uint8_t *bytes, std::size_t size) : next(bytes), left(size) {}

  bool any() const { return left > 0; }
  template <class Number>
  Number number()
  {
    Number value{};
    const std::size_t n = left < sizeof value ? left : sizeof value;
    std::memcpy(&value, next, n);
    next += n;
    left -= n;
    return value;
  }
  std::size_t below(std::size_t n) { return n < 2 ? 0 : number<std::uint32_t>() % n; }

private:
  const std::uint8_t *next;
  std::size_t left;
};
} // namespace limbwright::fuzz
