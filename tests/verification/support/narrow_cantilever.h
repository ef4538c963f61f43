#pragma once

#include "support/bodies.h"
#include "support/solid_mesh.h"

#include <cmath>

namespace limbwright::checks
{
/// A solid cantilever that tips over sideways under a load at the centroid of its end section.
struct NarrowCantilever
{
  double length = 1., height = 0.03, width = 0.004; //!< [m]
  double E = 10e9, G = E / 2.;                      //!< [Pa], nu = 0
  SolidBody body;
  SectionForce end;
  Loads load; //!< parameter: force toward its belly [N]

  explicit NarrowCantilever(int n_columns)
      : body(straight_bar(length, height, width), solid_mesh(straight_bar(length, height, width), n_columns, 4, 1, false),
             {{"elastic", elastic_material(E, G, 0.)}}),
        end(body.solid, length, height / 2.),
        load(end.dead_in_space({-1., 0., 0.}))
  {
  }

  /// [N m2] against bending in the load's plane and sideways, and against twist.
  double A() const { return E * width * std::pow(height, 3) / 12.; }
  double B() const { return E * height * std::pow(width, 3) / 12.; }
  double C() const { return G * height * std::pow(width, 3) / 3. * (1. - 0.63 * width / height); }
  /// [N] 4.013 sqrt(B C)/L^2 (Timoshenko and Gere 1961, Theory of Elastic Stability, art. 6.4); the bar's bending before it tips
  /// raises that by 1/sqrt((1 - B/A)(1 - C/A)) (from memory).
  double tipping_load() const
  {
    return 4.013 * std::sqrt(B() * C()) / (length * length) / std::sqrt((1. - B() / A()) * (1. - C() / A()));
  }
};
} // namespace limbwright::checks
