#include "cases/study/defect_bounds.h"

#include "solver/failure/indices.h"

#include <algorithm>
#include <cmath>
#include <limits>

namespace limbwright
{
namespace
{
/// Sums over a stretch of the stack, per width; depths from the datum.
struct Stiffness
{
  double EA = 0., ES = 0., EI = 0.; //!< [N/m], [N], [N m]

  void add(double E, double thickness, double middle, double width = 1.)
  {
    EA += E * thickness * width;
    ES += E * thickness * width * middle;
    EI += E * thickness * width * (middle * middle + thickness * thickness / 12.);
  }
  double axis() const { return ES / EA; }
  double bending() const { return EI - ES * ES / EA; }
};
} // namespace

bool told_to_people(const Material &material, Face face, FailureMode mode)
{
  const bool yields = material.kind == MaterialKind::wood || material.kind == MaterialKind::bamboo;
  return mode != FailureMode::belly_set &&
         !(yields && (mode == FailureMode::compression_along || (mode == FailureMode::interaction && face != Face::back)));
}

double run_out_index(const Material &material, RingOrientation ring, const FaceState &face, double angle)
{
  double worst = 0.;
  for (const double turned : {angle, -angle})
  {
    const double c = std::cos(turned), s = std::sin(turned);
    const double across = face.stress_across, shear = face.stress_shear;
    double along = face.stress_along;
    if (face.crushed > 0.)
      along = -std::min(material.constants.E_L * std::abs(face.strain_along), material.strengths.compression_L / (c * c));
    if (turned == 0.)
      along = face.stress_along;
    const Eigen::Vector3d stress(c * c * along + s * s * across + 2. * c * s * shear,
                                 s * s * along + c * c * across - 2. * c * s * shear,
                                 c * s * (across - along) + (c * c - s * s) * shear);
    for (const ModeIndex &mode : lamination_indices(material, ring, {face.strain_along, 0., 0.}, stress, false))
      if (told_to_people(material, face.face, mode.mode))
        worst = std::max(worst, mode.index);
  }
  return worst;
}

double knot_index(double index, double width_share, double strains_more)
{
  return index * strains_more / (1. - width_share);
}

PartedStack parted_stack(const LimbShape &shape, const std::map<std::string, Material> &materials, const Adhesive *adhesive,
                         int line, double station)
{
  Stiffness part[2];
  double softness = 0.; // [m3/N] of what is sheared: the glue, and a third of each part
  for (std::size_t i = 0; i < shape.n_laminations(); ++i)
  {
    if (!shape.present(i, station))
      continue;
    const LaminationDescription &lamination = shape.description().laminations[i];
    const OrthotropicConstants &c = materials.at(lamination.material).constants;
    const double t = shape.thickness(i, station);
    part[static_cast<int>(i) <= line ? 0 : 1].add(c.E_L, t, shape.back_face_depth(i, station) + 0.5 * t);
    softness += t / (3. * (lamination.ring == RingOrientation::flat ? c.G_LR : c.G_LT));
  }
  const GlueLineDescription &glue = shape.description().glue[static_cast<std::size_t>(line)];
  softness += glue.thickness > 0. && adhesive != nullptr ? glue.thickness / adhesive->shear_modulus : 1. / glue.bond_stiffness;
  PartedStack parts;
  const double arm = part[0].axis() - part[1].axis();
  parts.slip = 1. / part[0].EA + 1. / part[1].EA + arm * arm / (part[0].bending() + part[1].bending());
  parts.held_over = std::sqrt(softness / parts.slip);
  const int next = static_cast<int>(shape.next_toward_back(static_cast<std::size_t>(line), station));
  const std::array<const LaminationDescription *, 2> beside{&shape.description().laminations[static_cast<std::size_t>(line)],
                                                            &shape.description().laminations[static_cast<std::size_t>(next)]};
  double E_across = std::numeric_limits<double>::infinity();
  for (const LaminationDescription *lamination : beside)
  {
    const OrthotropicConstants &c = materials.at(lamination->material).constants;
    E_across = std::min(E_across, lamination->ring == RingOrientation::flat ? c.E_R : c.E_T);
  }
  for (std::size_t k = 0; k < 2; ++k)
  {
    parts.bending[k] = part[k].bending();
    parts.radius_squared[k] = part[k].bending() / part[k].EA;
    const OrthotropicConstants &c = materials.at(beside[k]->material).constants;
    const double G = beside[k]->ring == RingOrientation::flat ? c.G_LR : c.G_LT;
    // A cantilever's root in a crack: chi h (Hashemi, Kinloch and Williams 1990, Proc. R. Soc. A 427:173; from memory).
    const double gamma = 1.18 * std::sqrt(c.E_L * E_across) / G;
    const double chi = std::sqrt(c.E_L / (11. * G) * (3. - 2. * std::pow(gamma / (1. + gamma), 2)));
    parts.rooted[k] = chi * std::sqrt(12. * parts.radius_squared[k]); // thickness of a like part of one piece
  }
  return parts;
}

double patch_sliding_energy(const PartedStack &parts, double shear, double length)
{
  const double force = shear * (0.5 * length + parts.held_over);
  return 0.5 * parts.slip * force * force;
}

double patch_opening_energy(double radius_squared, double bending, double shortening, double gap, double held_down, double length)
{
  if (shortening <= 0.)
    return 0.;
  const double wave = 2. * M_PI / length, load_share = shortening / (wave * wave * radius_squared); // of Euler's
  const double drive = 0.5 * gap * wave * wave - std::max(0., held_down);
  if (drive <= 0.)
    return 0.;
  if (load_share >= 1.)
    return std::numeric_limits<double>::infinity();
  const double curvature = drive * load_share / (1. - load_share);
  return 0.5 * bending * curvature * curvature;
}

double patch_index(const PartedStack &parts, const BondToughness &toughness, double shear,
                   const std::array<double, 2> &shortening, double hollow, double gap, double length)
{
  double opening = 0.;
  for (std::size_t k = 0; k < 2; ++k)
    opening = std::max(opening, patch_opening_energy(parts.radius_squared[k], parts.bending[k], shortening[k], gap,
                                                     k == 0 ? hollow : -hollow, length + 2. * parts.rooted[k]));
  return std::sqrt(opening / toughness.opening) + std::sqrt(patch_sliding_energy(parts, shear, length) / toughness.sliding);
}
} // namespace limbwright
