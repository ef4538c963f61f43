#pragma once

#include <catch2/catch.hpp>

#include <cmath>
#include <cstdio>
#include <string>

namespace limbwright::checks
{
/// Checks values against references and prints one line for each: what, value, reference, difference, what is allowed. Every line
/// is a check that can fail, except note(). The unit is part of `what`: "draw weight [N]".
class CheckTable
{
public:
  /// source: where the references come from, with the year.
  CheckTable(const std::string &title, const std::string &source) : heading(title)
  {
    std::printf("\n%s\n  reference: %s\n  %-52s %14s %14s %12s %12s\n", title.c_str(), source.c_str(), "", "value", "reference",
                "difference", "allowed");
  }
  CheckTable(const CheckTable &) = delete;
  CheckTable &operator=(const CheckTable &) = delete;
  ~CheckTable() { std::fflush(stdout); }

  /// |value / reference - 1| <= tolerance [1]
  void relative(const std::string &what, double value, double reference, double tolerance)
  {
    const double difference = value / reference - 1.;
    std::printf("  %-52s %14.6g %14.6g %+10.4f %% %10.3g %%\n", what.c_str(), value, reference, 100. * difference,
                100. * tolerance);
    judge(what, value, reference, std::abs(difference), tolerance);
  }

  /// |value - reference| <= tolerance, in the unit of the value
  void absolute(const std::string &what, double value, double reference, double tolerance)
  {
    std::printf("  %-52s %14.6g %14.6g %+12.3e %12.3g\n", what.c_str(), value, reference, value - reference, tolerance);
    judge(what, value, reference, std::abs(value - reference), tolerance);
  }

  /// value <= bound
  void at_most(const std::string &what, double value, double bound)
  {
    std::printf("  %-52s %14.6g %14s %12s %12.6g\n", what.c_str(), value, "", "at most", bound);
    INFO(heading << ": " << what);
    CHECK(value <= bound);
  }

  /// value >= bound
  void at_least(const std::string &what, double value, double bound)
  {
    std::printf("  %-52s %14.6g %14s %12s %12.6g\n", what.c_str(), value, "", "at least", bound);
    INFO(heading << ": " << what);
    CHECK(value >= bound);
  }

  /// Printed, not checked.
  void note(const std::string &what, double value) const { std::printf("  %-52s %14.6g\n", what.c_str(), value); }

private:
  std::string heading;

  void judge(const std::string &what, double value, double reference, double difference, double tolerance) const
  {
    INFO(heading << ": " << what << ": " << value << " against " << reference);
    CHECK(difference <= tolerance); // fails for NaN as well
  }
};
} // namespace limbwright::checks
