#include "meshing/shape/section.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
double whole_if_zero(const double depth, const double stack)
{
  return depth > 0. ? std::min(depth, stack) : stack;
}

double arc_radius(const ArcFace &face, const double width)
{
  if (face.radius > 0.)
    return std::max(face.radius, 0.5 * width);
  const double rise = std::min(face.rise, 0.5 * width);
  return (0.25 * width * width + rise * rise) / (2. * rise);
}

double arc_rise(const ArcFace &face, const double width)
{
  const double radius = arc_radius(face, width);
  return radius - std::sqrt(std::max(0., radius * radius - 0.25 * width * width));
}

double edge_radius(const RoundedEdges &face, const double width, const double stack)
{
  return std::min({face.radius, 0.5 * width, 0.5 * stack});
}

// A visitor that tells every kind of face how to be treated.
template <class... F>
struct Cases : F...
{
  using F::operator()...;
};
template <class... F>
Cases(F...) -> Cases<F...>;
} // namespace

double face_reach(const FaceShape &shape, const double width, const double stack)
{
  return std::visit(Cases{[](const PlainFace &) { return 0.; },
                          [&](const TrappedFace &face) { return whole_if_zero(face.depth, stack); },
                          [&](const EllipticFace &face) { return whole_if_zero(face.depth, stack); },
                          [&](const ArcFace &face) { return std::min(arc_rise(face, width), stack); },
                          [&](const RoundedEdges &face) { return edge_radius(face, width, stack); },
                          [&](const Facets &face) { return std::min(face.depth, 0.5 * stack); }},
                    shape);
}

double face_width_share(const FaceShape &shape, const double width, const double stack, const double distance)
{
  const double z = std::max(distance, 0.), reach = face_reach(shape, width, stack);
  if (z >= reach)
    return 1.;
  const double share = std::visit(
      Cases{[](const PlainFace &) { return 1.; },
            [&](const TrappedFace &face) { return face.width_share + (1. - face.width_share) * z / reach; },
            [&](const EllipticFace &) { return std::sqrt(z / reach * (2. - z / reach)); },
            [&](const ArcFace &face)
            {
              const double radius = arc_radius(face, width);
              return 2. * std::sqrt(z * (2. * radius - z)) / width;
            },
            [&](const RoundedEdges &) { return 1. - 2. * (reach - std::sqrt(z * (2. * reach - z))) / width; },
            [&](const Facets &face) { return 1. - 2. * std::min(face.across, 0.5 * width) * (1. - z / reach) / width; }},
      shape);
  return std::clamp(share, least_width_share, 1.);
}

double face_fall(const FaceShape &shape, const double width, const double stack, const double across)
{
  const double a = std::min(std::abs(across), 1.), reach = face_reach(shape, width, stack);
  const double fall = std::visit(Cases{[](const PlainFace &) { return 0.; }, [](const TrappedFace &) { return 0.; },
                                       [&](const EllipticFace &) { return reach * (1. - std::sqrt(1. - a * a)); },
                                       [&](const ArcFace &face)
                                       {
                                         const double radius = arc_radius(face, width), half_chord = 0.5 * a * width;
                                         return radius - std::sqrt(std::max(0., radius * radius - half_chord * half_chord));
                                       },
                                       [&](const RoundedEdges &)
                                       {
                                         const double beyond = std::max(0., reach - 0.5 * (1. - a) * width);
                                         return reach - std::sqrt(std::max(0., reach * reach - beyond * beyond));
                                       },
                                       [&](const Facets &face)
                                       {
                                         const double taken = std::min(face.across, 0.5 * width);
                                         return taken > 0. ? reach * std::max(0., 1. - 0.5 * (1. - a) * width / taken) : 0.;
                                       }},
                                 shape);
  return std::clamp(fall, 0., reach);
}
} // namespace limbwright
