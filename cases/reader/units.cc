#include "cases/reader/units.h"

#include <fmt/format.h>
#include <udunits2.h>

#include <array>
#include <charconv>
#include <cmath>
#include <cstring>
#include <memory>
#include <optional>
#include <stdexcept>

namespace limbwright
{
namespace
{
struct DimensionWords
{
  Dimension dimension;
  const char *si;      // SI unit as UDUNITS reads it
  const char *words;   // for messages
  const char *example; // a value one could write
  const char *units;
};

constexpr std::array<DimensionWords, 14> dimension_words = {{
    {Dimension::ratio, "1", "a ratio", "0.35", "a plain number, %"},
    {Dimension::length, "m", "a length", "1.25 in", "in (fractions such as 1 5/16 in), thou, ft, mm, m"},
    {Dimension::angle, "rad", "an angle", "2.5 deg", "deg, rad, slopes such as 1 in 20"},
    {Dimension::taper, "1", "a taper", "1.8 thou/in", "thou/in, mm/m"},
    {Dimension::force, "N", "a force", "45 lbf", "lbf (lb and # mean the same here), N"},
    {Dimension::mass, "kg", "a mass", "150 grain", "grain, g, kg, oz, lb"},
    {Dimension::energy, "J", "an energy", "34 ft lbf", "ft lbf, J"},
    {Dimension::stress, "Pa", "a modulus or stress", "12 GPa", "GPa, MPa, Pa, psi, ksi, Msi"},
    {Dimension::density, "kg/m3", "a density", "700 kg/m3", "kg/m3, g/cm3, lb/ft3"},
    {Dimension::energy_per_area, "J/m2", "an energy per area", "300 J/m2", "J/m2, kJ/m2, in lbf/in2"},
    {Dimension::stiffness_per_area, "Pa/m", "a stiffness per area", "1e14 Pa/m", "Pa/m, MPa/mm, psi/in"},
    {Dimension::force_per_length, "N/m", "a force per length", "3 lbf/in", "lbf/in, N/m"},
    {Dimension::temperature, "K", "a temperature", "60 degC", "degC, degF, K"},
    {Dimension::time, "s", "a time", "2 s", "s, min, h"},
}};

const DimensionWords *find_words(Dimension dimension)
{
  for (const DimensionWords &entry : dimension_words)
    if (entry.dimension == dimension)
      return &entry;
  return nullptr;
}

using Unit = std::unique_ptr<ut_unit, decltype(&ut_free)>;

Unit own(ut_unit *unit)
{
  return {unit, &ut_free};
}

/// The unit system with the shop's names added. One for the life of the program.
ut_system *unit_system()
{
  static ut_system *const units = []
  {
    ut_set_error_message_handler(ut_ignore);
    ut_system *system = ut_read_xml(nullptr);
    if (system == nullptr)
      throw std::runtime_error("The units database (udunits2.xml, package UDUNITS) cannot be read; reinstall it.");
    const auto name = [system](const char *alias, double factor, const char *of)
    {
      const Unit base = own(ut_parse(system, of, UT_UTF8));
      const Unit scaled = own(ut_scale(factor, base.get()));
      ut_map_name_to_unit(alias, UT_UTF8, scaled.get());
    };
    name("thou", 1e-3, "in");
    name("deg", 1., "degree");
    name("Msi", 1e6, "psi");
    name("ounce_of_mass", 1. / 16., "lb"); // UDUNITS takes oz for the fluid ounce and rounds its own ounce of mass
    return system;
  }();
  return units;
}

/// The unit without scale and offset, as UDUNITS spells it ("m-1.kg.s-2"): equal for units that measure the same thing,
/// radians told from plain numbers.
std::string base_of(const ut_unit *unit)
{
  std::array<char, 256> buffer{};
  const int n = ut_format(unit, buffer.data(), buffer.size() - 1, UT_ASCII | UT_DEFINITION);
  if (n < 0 || n >= static_cast<int>(buffer.size()) - 1)
    return "?";
  std::string text(buffer.data());
  if (const auto at = text.find(" @"); at != std::string::npos)
    text.erase(at);
  double scale = 0.;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), scale);
  if (error == std::errc{})
    text.erase(0, static_cast<std::size_t>(end - text.data()));
  text.erase(0, text.find_first_not_of(' ') == std::string::npos ? text.size() : text.find_first_not_of(' '));
  return text.empty() ? "1" : text;
}

bool is_letter(char c)
{
  return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z');
}
bool is_digit(char c)
{
  return c >= '0' && c <= '9';
}

std::string_view trim(std::string_view text)
{
  while (!text.empty() && (text.front() == ' ' || text.front() == '\t'))
    text.remove_prefix(1);
  while (!text.empty() && (text.back() == ' ' || text.back() == '\t'))
    text.remove_suffix(1);
  return text;
}

std::string advice(Dimension dimension)
{
  const DimensionWords *const entry = find_words(dimension);
  return entry == nullptr ? std::string{"write a number and its unit"}
                          : fmt::format("write {}, for example \"{}\"; units: {}", entry->words, entry->example, entry->units);
}

bool takes_pounds_of_force(Dimension dimension)
{
  switch (dimension)
  {
  case Dimension::force:
  case Dimension::energy:
  case Dimension::stress:
  case Dimension::energy_per_area:
  case Dimension::stiffness_per_area:
  case Dimension::force_per_length:
    return true;
  default:
    return false;
  }
}

/// The unit with the trade's pounds and ounces made definite, or an error.
std::string definite_unit(std::string_view unit, Dimension dimension, std::string &error)
{
  std::string out;
  for (std::size_t i = 0; i < unit.size();)
  {
    std::size_t n = 0;
    while (i + n < unit.size() && is_letter(unit[i + n]))
      ++n;
    const std::string word(unit.substr(i, n == 0 ? 1 : n));
    i += word.size();
    if (word == "gr" || word == "Gr")
    {
      error = "\"gr\" could be grains or grams: write \"grain\" or \"g\"";
      return {};
    }
    if (word == "since" || word == "from" || word == "after" || word == "ref" || word == "log" || word == "ln")
    {
      error = fmt::format("\"{}\" is not a unit; {}", word, advice(dimension));
      return {};
    }
    const bool pound = word == "lb" || word == "lbs" || word == "#" || word == "pound" || word == "pounds";
    if (pound && dimension == Dimension::any)
    {
      error = "a pound could be a force or a mass here: write \"lbf\" for a force, or give a mass in \"kg\" or \"grain\"";
      return {};
    }
    if (pound)
      out += takes_pounds_of_force(dimension) ? "lbf" : "lb";
    else if (word == "oz" && dimension == Dimension::mass)
      out += "ounce_of_mass";
    else
      out += word;
  }
  return out;
}

/// UDUNITS reads "m^0.5" as m^0 times 0.5, timestamps, logarithms and much else: only plain products of units go in.
bool is_plain_unit(std::string_view unit)
{
  for (std::size_t i = 0; i < unit.size(); ++i)
  {
    const char c = unit[i];
    const unsigned char u = static_cast<unsigned char>(c);
    const char before = i > 0 ? unit[i - 1] : ' ';
    const char after = i + 1 < unit.size() ? unit[i + 1] : ' ';
    if (is_digit(c))
    {
      const bool exponent = is_letter(before) || before == '^' || before == '-';
      const bool one_over = c == '1' && i == 0 && after == '/';
      if ((!exponent && !one_over) || is_digit(after))
        return false;
    }
    else if (c == '.' && is_digit(after))
      return false;
    else if (!is_letter(c) && u < 0x80 && std::strchr(" ./*^-%#_\"'", c) == nullptr)
      return false;
  }
  return true;
}

/// The usual spelling of an SI unit that UDUNITS defines as a product of base units; empty for 1.
std::string si_spelling(const std::string &base)
{
  if (base == "1")
    return {};
  for (const DimensionWords &entry : dimension_words)
    if (base_of(own(ut_parse(unit_system(), entry.si, UT_UTF8)).get()) == base)
      return entry.si;
  return base;
}

struct KnownUnit
{
  Unit unit = own(nullptr);
  Unit base = own(nullptr);
  std::string si_unit; // empty for a ratio
};

std::optional<KnownUnit> look_up(std::string_view written, Dimension dimension, std::string &error)
{
  const std::string_view plain = trim(written);
  if (plain.size() > 40 || !is_plain_unit(plain))
  {
    error = fmt::format("\"{}\" is not understood as a unit; {}", plain.substr(0, 40), advice(dimension));
    return std::nullopt;
  }
  const std::string definite = definite_unit(plain, dimension, error);
  if (!error.empty())
    return std::nullopt;
  KnownUnit known;
  known.unit = own(ut_parse(unit_system(), definite.c_str(), UT_UTF8));
  if (!known.unit)
  {
    error = fmt::format("the unit \"{}\" is not known; {}", plain, advice(dimension));
    return std::nullopt;
  }
  const DimensionWords *const entry = find_words(dimension);
  const std::string base = base_of(known.unit.get());
  known.base = own(ut_parse(unit_system(), entry == nullptr ? base.c_str() : entry->si, UT_UTF8));
  const bool same =
      known.base && base_of(known.base.get()) == base && ut_are_convertible(known.unit.get(), known.base.get()) != 0;
  known.si_unit = entry == nullptr ? si_spelling(base) : si_unit_of(dimension);
  if (!same)
  {
    error = fmt::format("\"{}\" does not measure {}; {}", plain, words_of(dimension), advice(dimension));
    return std::nullopt;
  }
  return known;
}

std::optional<double> take_plain_number(std::string_view &text)
{
  std::string_view rest = text;
  if (!rest.empty() && rest.front() == '+')
    rest.remove_prefix(1);
  double number = 0.;
  const auto [end, error] = std::from_chars(rest.data(), rest.data() + rest.size(), number);
  if (error != std::errc{} || !std::isfinite(number))
    return std::nullopt;
  text = rest.substr(static_cast<std::size_t>(end - rest.data()));
  return number;
}

std::optional<double> take_whole(std::string_view &text)
{
  std::size_t n = 0;
  while (n < text.size() && is_digit(text[n]))
    ++n;
  if (n == 0 || n > 6)
    return std::nullopt;
  double number = 0.;
  for (const char c : text.substr(0, n))
    number = 10. * number + (c - '0');
  text.remove_prefix(n);
  return number;
}

/// A number as a bowyer writes it: 0.043, 5/16, 1 5/16, 1-5/16.
std::optional<double> take_number(std::string_view &text)
{
  std::string_view rest = text;
  const bool negative = !rest.empty() && rest.front() == '-';
  if (negative)
    rest.remove_prefix(1);
  std::string_view look = rest;
  if (const auto first = take_whole(look))
  {
    double whole = 0.;
    std::optional<double> above = first;
    if (!look.empty() && (look.front() == ' ' || look.front() == '-'))
    {
      look.remove_prefix(1);
      look = trim(look);
      whole = *first;
      above = take_whole(look);
    }
    if (above && !look.empty() && look.front() == '/')
    {
      look.remove_prefix(1);
      if (const auto below = take_whole(look); below && *below > 0.)
      {
        text = look;
        return (negative ? -1. : 1.) * (whole + *above / *below);
      }
    }
  }
  return take_plain_number(text);
}
} // namespace

Quantity parse_quantity(std::string_view text, Dimension dimension)
{
  const std::string_view all = trim(text);
  if (all.size() > 64)
    return {0., fmt::format("\"{}...\" is too long for a number with its unit; {}", all.substr(0, 40), advice(dimension))};
  std::string_view rest = all;
  const auto number = take_number(rest);
  if (!number)
    return {0., fmt::format("\"{}\" does not begin with a number; {}", all, advice(dimension))};
  if (!rest.empty() && rest.front() == ',')
    return {0., fmt::format("\"{}\": write decimals with a point, not a comma", all)};
  rest = trim(rest);
  if (dimension == Dimension::angle && rest.starts_with("in "))
  {
    std::string_view run = trim(rest.substr(3));
    const auto length = take_number(run);
    if (!length || !(*length > 0.) || !run.empty())
      return {0., fmt::format("\"{}\" is not understood as a slope; write for example \"1 in 20\" or \"3 deg\"", all)};
    return {std::atan(*number / *length), {}};
  }
  if (rest.empty())
  {
    if (dimension == Dimension::ratio || dimension == Dimension::any)
      return {*number, {}};
    return {0., fmt::format("\"{}\" has no unit; {}", all, advice(dimension))};
  }
  std::string error;
  const auto known = look_up(rest, dimension, error);
  if (!known)
    return {0., error};
  const std::unique_ptr<cv_converter, decltype(&cv_free)> converter{ut_get_converter(known->unit.get(), known->base.get()),
                                                                    &cv_free};
  const double value = converter ? cv_convert_double(converter.get(), *number) : std::nan("");
  if (!std::isfinite(value))
    return {0., fmt::format("\"{}\" is not a finite number of SI units", all)};
  return {value, {}, known->si_unit};
}

Quantity parse_unit(std::string_view unit, Dimension dimension)
{
  std::string error;
  const auto known = look_up(unit, dimension, error);
  if (!known)
    return {0., error};
  const std::unique_ptr<cv_converter, decltype(&cv_free)> converter{ut_get_converter(known->unit.get(), known->base.get()),
                                                                    &cv_free};
  if (!converter || cv_convert_double(converter.get(), 0.) != 0.)
    return {0., fmt::format("\"{}\" has an offset and cannot be the unit of a table", unit)};
  return {cv_convert_double(converter.get(), 1.), {}};
}

std::string units_of(Dimension dimension)
{
  const DimensionWords *const entry = find_words(dimension);
  return entry == nullptr ? std::string{"any unit"} : entry->units;
}

std::string words_of(Dimension dimension)
{
  const DimensionWords *const entry = find_words(dimension);
  return entry == nullptr ? std::string{"a quantity"} : entry->words;
}

std::string si_unit_of(Dimension dimension)
{
  const DimensionWords *const entry = find_words(dimension);
  return entry == nullptr || dimension == Dimension::ratio ? std::string{} : entry->si;
}
} // namespace limbwright
