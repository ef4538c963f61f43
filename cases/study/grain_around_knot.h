#pragma once

#include "materials/material.h"
#include "solver/results.h"

#include <optional>

namespace limbwright
{
// What the grain does that flows around a knot, from the limb without it: the weak zones' own model (meshing/shape/weak_zones.h,
// a stream past an ellipse), which parts the width into strips that strain alike.

/// The greatest index of those told to people [1] that wood beside a knot too small to weaken the section comes to in a face.
/// Along the knot's rim the stream takes every direction from along the limb to across it, whatever the knot's size and shape: so
/// this is the worst over all of them, of a strip turned by so much in the plan view, at the face's strain. law: by which the
/// wood yields, if it does.
double index_around_knot(const Material &wood, RingOrientation ring, const std::optional<CrushingLaw> &law,
                         const FaceState &face);

/// The share of a lamination's stiffness along the limb [1] that a hole of a share of its width takes with the grain it turns
/// aside: at the station where that is most, over the whole width.
double stiffness_taken(const OrthotropicConstants &wood, RingOrientation ring, double width_share);
} // namespace limbwright
