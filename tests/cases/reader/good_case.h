#pragma once

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
