#pragma once

#include <variant>

namespace limbwright
{
// How a cross-section narrows toward its back or its belly. Where a stated depth, radius or facet is more than the limb has left
// toward the tip, it is taken as large as fits there: see face_reach().

/// As wide as the sides are.
struct PlainFace
{
};

/// Sides that lean in toward the face, straight.
struct TrappedFace
{
  double width_share = 1.; //!< [1] width at the face over the width of the section
  double depth = 0.;       //!< [m] over which the sides lean in; 0: the whole stack
};

/// Half an ellipse, its axes the width and twice the depth. A D-shaped belly.
struct EllipticFace
{
  double depth = 0.; //!< [m] 0: the whole stack
};

/// An arc of a circle over the whole width. One of the two is given.
struct ArcFace
{
  double radius = 0.; //!< [m] of a stave's crown, the same all along the limb
  double rise = 0.;   //!< [m] how far the middle stands above the edges
};

/// Edges rounded to a quarter of a circle.
struct RoundedEdges
{
  double radius = 0.; //!< [m]
};

/// Edges planed off straight.
struct Facets
{
  double across = 0.; //!< [m] taken off the face on each side
  double depth = 0.;  //!< [m] taken off each side
};

using FaceShape = std::variant<PlainFace, TrappedFace, EllipticFace, ArcFace, RoundedEdges, Facets>;

/// Least local width over the width of the section. [1] A rounded face ends in a point; elements need some width there.
/// Judgement: it adds less than 1e-4 to the stiffness of a section that is half an ellipse.
inline constexpr double least_width_share = 0.01;

/// Depth from the face over which the section is narrower than its width [m]; not more than the stack. width and stack [m].
double face_reach(const FaceShape &shape, double width, double stack);

/// Local width over the width of the section [1], at a distance from the face [m]; 1 beyond its reach.
double face_width_share(const FaceShape &shape, double width, double stack, double distance);

/// How far a rounded face has fallen at a place across the width [m]: the inverse of face_width_share(). across: distance from
/// the middle over half the width [1]. Zero for straight sides, plain or trapped.
double face_fall(const FaceShape &shape, double width, double stack, double across);
} // namespace limbwright
