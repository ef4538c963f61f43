#include "solver/failure/recovery.h"
#include "support/bodies.h"
#include "support/check_table.h"

#include <cmath>
#include <utility>
#include <vector>

using namespace limbwright;
using namespace limbwright::checks;

namespace
{
constexpr double length = 0.3, width = 30e-3, thickness = 12e-3, stiffness = 12e9;

/// [m4] about the centroid. The width against closed forms is checked where the shape is.
double second_moment(const LimbShape &shape)
{
  constexpr int n = 100000;
  double area = 0., first = 0., second = 0.;
  for (int i = 0; i < n; ++i)
  {
    const double depth = (i + 0.5) * thickness / n, slice = shape.width(0.5 * length, depth) * thickness / n;
    area += slice;
    first += slice * depth;
    second += slice * depth * depth;
  }
  return second - first * first / area;
}

struct Bend
{
  double curvature, turn; // over those of beam theory [1]
};

Bend bend(const FaceShape &belly, const FaceShape &back, const MeshSettings &settings)
{
  LimbDescription bar = straight_bar(length, thickness, width);
  bar.section.belly = belly;
  bar.section.back = back;
  Body body(bar, settings, {{"elastic", elastic_material(stiffness, stiffness / 2.)}});
  const SectionMoment moment(body.solid, length);
  Equilibrium equilibrium({&body.solid}, {});
  const double applied = 1e-3, EI = stiffness * second_moment(body.solid.shape()); // N m; strains below 1e-6
  const State state = raise_load(equilibrium, moment.moment(applied), 1);
  const Eigen::VectorXd u = body.solid.space().expand(state.q[0]);
  double curvature = 0.;
  for (const SectionFit &fit : fit_sections(body.solid, recover_nodal_fields(body.solid, u)))
    if (std::abs(fit.station - 0.5 * length) < 1e-6)
      curvature = std::abs(fit.slope);
  return {curvature * EI / applied, std::abs(moment.turn(state)) * EI / (applied * length)};
}
} // namespace

TEST_CASE("A bar of every section bends as its second moment says", "[verification]")
{
  CheckTable table("Bar under an end moment: curvature and turn over M / (E I)",
                   "Euler-Bernoulli beam theory, I by quadrature of the section");
  const std::vector<std::pair<const char *, std::pair<FaceShape, FaceShape>>> sections{
      {"rectangle", {PlainFace{}, PlainFace{}}},
      {"trapped back", {PlainFace{}, TrappedFace{0.6, 0.}}},
      {"trapped belly, 5 mm deep", {TrappedFace{0.5, 5e-3}, PlainFace{}}},
      {"belly half an ellipse", {EllipticFace{}, PlainFace{}}},
      {"belly half an ellipse, 8 mm deep", {EllipticFace{8e-3}, PlainFace{}}},
      {"belly an arc, 5 mm deep", {ArcFace{0., 5e-3}, PlainFace{}}},
      {"back crowned to 40 mm", {PlainFace{}, ArcFace{40e-3, 0.}}},
      {"crowned and round belly", {EllipticFace{6e-3}, ArcFace{0., 3e-3}}},
      {"edges rounded to 3 mm", {RoundedEdges{3e-3}, RoundedEdges{3e-3}}},
      {"facets 4 mm by 2 mm", {Facets{4e-3, 2e-3}, Facets{4e-3, 2e-3}}}};
  for (const auto &[name, faces] : sections)
  {
    MeshSettings usual;
    usual.column_length = length / 60.;
    const Bend with_usual_rows = bend(faces.first, faces.second, usual);
    table.relative(std::string(name) + ": curvature [1]", with_usual_rows.curvature, 1., 5e-3);
    table.relative(std::string(name) + ": turn [1]", with_usual_rows.turn, 1., 5e-3);
    usual.rows_per_lamination = 6;
    table.relative(std::string(name) + ", 6 rows: turn [1]", bend(faces.first, faces.second, usual).turn, 1., 5e-3);
  }
}

TEST_CASE("A strip bent over a crown stiffens a bar by where it truly lies", "[verification]")
{
  // Wood under a backing of even thickness that follows a crown; every sliver of the width by itself.
  CheckTable table("Crowned bars with a strip bent over the crown, under an end moment: turn over M L / (E I)",
                   "Euler-Bernoulli beam theory for a composite section, sliver by sliver");
  const double backing = 2e-3, wood_E = 12e9, backing_E = 40e9, applied = 1e-3;
  for (const double rise : {1e-3, 2e-3, 4e-3})
  {
    LimbDescription bar = straight_bar(length, thickness - backing, width);
    bar.root_back_x = thickness / 2.;
    bar.laminations.push_back(full_lamination("backing", backing, 0., length));
    bar.glue = {{}};
    bar.glue[0].bond_stiffness = 1e16;
    bar.section.back = ArcFace{0., rise};
    const double radius = (0.25 * width * width + rise * rise) / (2. * rise);
    double E_area = 0., E_first = 0., E_second = 0.;
    const auto add = [&](const double E, const double from, const double to)
    {
      E_area += E * (to - from);
      E_first += E * (to * to - from * from) / 2.;
      E_second += E * (to * to * to - from * from * from) / 3.;
    };
    constexpr int n = 4000;
    for (int i = 0; i < n; ++i)
    {
      const double y = width * ((i + 0.5) / n - 0.5), fall = radius - std::sqrt(radius * radius - y * y);
      add(backing_E, fall, fall + backing);
      add(wood_E, fall + backing, thickness);
    }
    const double EI = (E_second - E_first * E_first / E_area) * width / n;
    const auto turn = [&](const bool follow)
    {
      bar.section.follow_crown = follow;
      MeshSettings usual;
      usual.column_length = length / 60.;
      Body body(bar, usual,
                {{"elastic", elastic_material(wood_E, wood_E / 2.)}, {"backing", elastic_material(backing_E, backing_E / 2.)}});
      const SectionMoment moment(body.solid, length);
      Equilibrium equilibrium({&body.solid}, {});
      return std::abs(moment.turn(raise_load(equilibrium, moment.moment(applied), 1))) * EI / (applied * length);
    };
    const std::string crown = "crown " + std::to_string(static_cast<int>(rise * 1e3)) + " mm";
    table.relative(crown + ", layers follow: turn [1]", turn(true), 1., 5e-3);
    table.note(crown + ", flat layers: turn [1]", turn(false));
  }
}
