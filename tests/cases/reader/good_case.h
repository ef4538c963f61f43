#pragma once

#include "cases/reader/case_reader.h"

#include <catch2/catch.hpp>

#include <string>

/// A sound case of three laminations that the tests spoil.
inline const std::string good_case = R"(title = "Trial bow"
about = "For tests."

[bow]
nock_to_nock = "64 in"
brace_height = "6 in"
draw_length = "28 in"

[handle]
rigid_half_length = "4 in"
throat_to_back = "1.75 in"

[string]
EA = "4700 lbf"
mass = "150 grain"

[limb]
width = {s = "in", width = "in", rows = [[4, 1.6], [18, 1.5], [32, 0.5]]}
profile = {s = "in", lean = "deg", rows = [[4, 0], [32, 5]]}
section = {shape = "trapezoid", back = 0.9, belly = 1.0}
nock = {from_tip = "0 in", depth = "belly"}

[[limb.lamination]]
name = "belly"
material = "white-ash"
thickness = {s = "in", thickness = "in", rows = [[4, 0.4], [32, 0.25]]}

[[limb.lamination]]
name = "power lam"
material = "hard-maple"
thickness = {s = "in", thickness = "in", rows = [[4, 0.06], [14, 0]]}
end = "14 in"

[[limb.lamination]]
name = "back"
material = "shagbark-hickory"
butt = "0.12 in"
taper = "1 thou/in"
run_out = "1 in 20"
ring = "edge"

[glue]
adhesive = "epoxy"
thickness = "0.004 in"

[[glue.line]]
between = ["power lam", "back"]
thickness = "0.006 in"

[material.own]
based_on = "hard-maple"
E_L = "12 GPa"
density = {value = "700 kg/m3", provenance = "measured", source = "own scale", conditions = "10 %"}

[mesh]
growth = 1.4

[solve]
draw_steps = 6

[[expect]]
quantity = "draw_weight_N"
value = "45 lbf"
tolerance = "3 %"
)";

/// A case that must read without an error.
inline limbwright::Case read_sound(const std::string &text)
{
  const limbwright::ReadOutcome outcome = limbwright::read_case_text(text, "folder/trial.toml");
  for (const limbwright::Diagnostic &error : outcome.errors)
    FAIL_CHECK(limbwright::format(error));
  REQUIRE(outcome.read);
  return *outcome.read;
}

/// The text with one piece replaced that must be there.
inline std::string with(std::string text, const std::string &from, const std::string &to)
{
  const auto found = text.find(from);
  REQUIRE(found != std::string::npos);
  return text.replace(found, from.size(), to);
}

/// The good case with its limb written out twice, 32 in and 31 in long.
inline std::string unlike_case()
{
  const std::string text = with(good_case, "nock_to_nock = \"64 in\"\n", "");
  const auto begin = text.find("[limb]"), end = text.find("[glue]\n");
  std::string upper = text.substr(begin, end - begin), lower = upper;
  for (auto *limb : {&upper, &lower})
    for (auto found = limb->find("limb"); found != std::string::npos; found = limb->find("limb"))
      limb->replace(found, 4, limb == &upper ? "upper" : "lower");
  upper = with(upper, "[upper]\n", "[upper]\nlength = \"32 in\"\n");
  lower = with(lower, "[lower]\n", "[lower]\nlength = \"31 in\"\n");
  for (auto found = lower.find("[32, "); found != std::string::npos; found = lower.find("[32, "))
    lower.replace(found, 5, "[31, ");
  return text.substr(0, begin) + upper + lower + text.substr(end);
}
