#pragma once

namespace limbwright
{
/// A line of three nodes with quadratic shape functions: its ends and its middle.
namespace quadratic_line
{
/// [1] Simpson's weights of the nodes, over the line's length.
constexpr double simpson[3] = {1. / 6., 4. / 6., 1. / 6.};

/// [1] slope[j][l]: at node j the derivative of node l's shape function by the coordinate that runs from -1 to 1, doubled.
constexpr double slope[3][3] = {{-3., 4., -1.}, {-1., 0., 1.}, {1., -4., 3.}};
} // namespace quadratic_line
} // namespace limbwright
