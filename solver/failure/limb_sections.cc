#include "solver/failure/limb_sections.h"

#include "materials/law/turned_grain.h"

#include <Eigen/Geometry>

#include <algorithm>
#include <cmath>
#include <set>

namespace limbwright
{
namespace
{
// Young's modulus [Pa] along a direction whose plane stiffness is given, free across it.
double modulus_along(const Matrix3 &stiffness)
{
  return 1. / stiffness.inverse()(0, 0);
}

// Fibres through the depth of a whole stack, in pairs at Gauss's points: exact for an elastic layer of even width.
constexpr int fibres_of_stack = 100;
} // namespace

template <int dim>
LimbSections<dim>::LimbSections(const LayeredSolid<dim> &limb, const std::map<std::string, Material> &materials) : solid(limb)
{
  const auto n_columns = solid.column_stations().size() - 1;
  struct Face
  {
    std::set<int> nodes, laminations;
  };
  std::vector<std::array<Face, 2>> faces(n_columns); // root end, tip end
  for (const auto &cell : solid.cells())
    for (int k = 0; k < LayeredSolid<dim>::n_nodes_per_cell; ++k)
      if (const int along = k / 3 % 3; along != 1)
      {
        Face &face = faces[static_cast<std::size_t>(cell.column)][along / 2];
        face.nodes.insert(cell.nodes[k]);
        face.laminations.insert(cell.lamination);
      }
  const auto open = open_lines();
  const auto add_cut = [&](std::size_t station, std::size_t column, bool tip_end)
  {
    Cut cut{station, column, tip_end, {}, {}, 1., {{}, {}, {}, 0., false}};
    const double s = solid.column_stations()[station];
    for (const LaminationEnd &end : solid.shape().lamination_ends())
      cut.tapers = std::min(cut.tapers, std::clamp(std::abs(s - end.station) / solid.shape().stack(s) - 1., 0., 1.));
    const Face &face = faces[column][tip_end ? 1 : 0];
    cut.nodes.assign(face.nodes.begin(), face.nodes.end());
    const auto &nodes = solid.nodes();
    std::stable_sort(cut.nodes.begin(), cut.nodes.end(),
                     [&](int a, int b) {
                       return std::pair(nodes[a].lamination, -nodes[a].depth) < std::pair(nodes[b].lamination, -nodes[b].depth);
                     });
    for (const int node : cut.nodes)
    {
      const auto [entry, is_new] = cut.middle_nodes.try_emplace(nodes[node].lamination, node, node);
      auto &[belly, back] = entry->second;
      const auto rank = [&](int n, double sign) { return std::pair(sign * nodes[n].depth, -std::abs(nodes[n].across)); };
      if (rank(node, 1.) > rank(belly, 1.))
        belly = node;
      if (rank(node, -1.) > rank(back, -1.))
        back = node;
    }
    cut.section = section_of(cut, materials);
    cut_list.push_back(std::move(cut));
  };
  for (std::size_t c = 0; c < n_columns; ++c)
    laminations_of.push_back({std::vector<int>(faces[c][0].laminations.begin(), faces[c][0].laminations.end()),
                              std::vector<int>(faces[c][1].laminations.begin(), faces[c][1].laminations.end())});
  for (std::size_t j = 0; j <= n_columns; ++j)
  {
    if (j > 0)
      add_cut(j, j - 1, true);
    if (j == 0 || (j < n_columns && (laminations_of[j - 1][1] != laminations_of[j][0] || open[j - 1] != open[j])))
      add_cut(j, j, false);
  }
}

template <int dim>
std::size_t LimbSections<dim>::cut_at(std::size_t column, bool tip_end) const
{
  const std::size_t station = column + (tip_end ? 1 : 0);
  const auto first = std::lower_bound(cut_list.begin(), cut_list.end(), station,
                                      [](const Cut &cut, std::size_t wanted) { return cut.station < wanted; });
  const auto number = static_cast<std::size_t>(first - cut_list.begin());
  const bool second = !tip_end && first->tip_end && number + 1 < cut_list.size() && cut_list[number + 1].station == station;
  return second ? number + 1 : number;
}

template <int dim>
double LimbSections<dim>::grain_turn(const Cut &cut, std::size_t lamination) const
{
  const LimbShape &shape = solid.shape();
  const LaminationDescription &description = shape.description().laminations[lamination];
  const double s = solid.column_stations()[cut.station], turn = shape.grain_lean(lamination, s) - shape.lean(s);
  if (description.grain == GrainDirection::along_handle)
    return turn;
  const double run_out = description.run_out.at(s); // from the lamination's own line, which has a slope
  return run_out + cut.tapers * (turn - run_out);
}

template <int dim>
FibreSection LimbSections<dim>::section_of(const Cut &cut, const std::map<std::string, Material> &materials) const
{
  const LimbShape &shape = solid.shape();
  const LimbDescription &limb = shape.description();
  const double s = solid.column_stations()[cut.station];
  // The curvature and the rest of the side that the cut is seen from.
  const double curvature = limb.profile.lean.slope(cut.tip_end ? s - same_station : s);
  const double pair = 2. * shape.stack(s) / fibres_of_stack;
  const bool sideways = dim == 3 && !solid.half_width();
  const bool weak = !limb.weak.empty() && !limb.weak.told_sound;
  // Of the lamination's faces on the side that the cut is seen from, and straight between them.
  constexpr double aside = 0.1 * same_station;
  const double beside = cut.tip_end ? s - aside : s + aside, sign = cut.tip_end ? 1. : -1.;
  const auto slope_at = [&](std::size_t l, double depth)
  {
    const double belly = shape.belly_face_depth(l, s), back = shape.back_face_depth(l, s);
    const double of_belly = sign * (shape.belly_face_depth(l, beside) - belly) / aside,
                 of_back = sign * (shape.back_face_depth(l, beside) - back) / aside;
    const double t = std::clamp((depth - back) / (belly - back), 0., 1.);
    return cut.tapers * (of_back + t * (of_belly - of_back));
  };
  // Along the limb, of what is stressed along a slope toward the back alone (wedge of an anisotropic plate: Lekhnitskii 1968).
  const auto modulus_of = [&](std::size_t l, double slope)
  {
    const LaminationDescription &lamination = limb.laminations[l];
    Matrix3 Q;
    if constexpr (dim == 2)
      Q = solid.stiffness(static_cast<int>(l));
    else
      Q = plane_stiffness(materials.at(lamination.material).constants, lamination.ring, PlaneState::stress);
    const Matrix3 T = dive_strains(grain_turn(cut, l) - std::atan(slope));
    return modulus_along(T.transpose() * Q * T) / std::pow(1. + slope * slope, 2);
  };
  std::vector<Fibre> fibres;
  std::map<int, Fibre> of_lamination;
  for (auto entry = cut.middle_nodes.begin(); entry != cut.middle_nodes.end(); ++entry)
  {
    const auto l = static_cast<std::size_t>(entry->first);
    const double belly = shape.belly_face_depth(l, s), back = shape.back_face_depth(l, s);
    const int n = 2 * std::max(2, static_cast<int>(std::ceil((belly - back) / pair)));
    const double thickening = cut.tapers * sign * (1. - shape.thickness(l, beside) / (belly - back)) / aside; // [1/m]
    Fibre fibre;
    fibre.lamination = entry->first;
    fibre.height = (belly - back) / n;
    of_lamination[entry->first] = fibre;
    for (int i = 0; i < n; ++i)
    {
      static const double off = 1. / std::sqrt(3.) - 0.5; // outward from the middle of its half of the pair
      fibre.depth = belly - (i + 0.5 + (i % 2 == 0 ? -off : off)) * fibre.height;
      fibre.length_ratio = 1. + fibre.depth * curvature;
      fibre.slope = slope_at(l, fibre.depth);
      const double width = shape.width(s, fibre.depth);
      fibre.growth =
          thickening + cut.tapers * sign * (1. - shape.width(beside, fibre.depth + sign * fibre.slope * aside) / width) / aside;
      for (const auto &[other, fraction] : shape.across(l, s, fibre.depth))
      {
        fibre.prestrain = shape.prestrain(l, s, fibre.depth) + limb.laminations[other].shrinkage - limb.laminations[l].shrinkage;
        const auto add = [&](double part, double modulus, const std::optional<CrushingLaw> &law)
        {
          fibre.modulus = modulus;
          fibre.law = law;
          // Gauss's three points across the width where the section may bend sideways.
          static const double at = std::sqrt(0.6);
          const std::vector<std::pair<double, double>> rule =
              sideways ? std::vector<std::pair<double, double>>{{-at, 5. / 18.}, {0., 8. / 18.}, {at, 5. / 18.}}
                       : std::vector<std::pair<double, double>>{{0., 1.}};
          for (const auto &[z, weight] : rule)
          {
            fibre.z = 0.5 * z * width;
            fibre.area = weight * part * width * fibre.height;
            fibres.push_back(fibre);
          }
        };
        const auto strips =
            weak ? weak_parts(shape, materials, PlaneState::stress, other, s, fibre.depth) : std::vector<WeakPart>{};
        const auto &law = solid.crushing_law(static_cast<int>(other));
        if (strips.empty())
          add(fraction, modulus_of(other, fibre.slope), law);
        for (const WeakPart &strip : strips)
          add(fraction * strip.strip.share, modulus_along(strip.to_own.transpose() * strip.stiffness * strip.to_own),
              turned_law(law, strip, materials.at(limb.laminations[other].material), limb.laminations[other].ring, limb.weak));
      }
    }
  }
  std::vector<Fibre> points;
  std::vector<double> widths;
  for (const int index : cut.nodes)
  {
    const auto &node = solid.nodes()[static_cast<std::size_t>(index)];
    const auto l = static_cast<std::size_t>(node.lamination);
    Fibre point = of_lamination[node.lamination];
    point.depth = node.depth + node.fallen;
    point.z = node.place[2];
    point.height = 0.;
    point.prestrain = shape.prestrain(l, s, node.depth + node.slanted);
    point.length_ratio = 1. + point.depth * curvature;
    point.slope = slope_at(l, point.depth);
    point.modulus = modulus_of(l, point.slope);
    point.law = solid.crushing_law(node.lamination);
    points.push_back(point);
    widths.push_back(shape.width(s, point.depth));
  }
  return {std::move(fibres), std::move(points), std::move(widths), curvature, sideways};
}

template <int dim>
std::vector<std::vector<bool>> LimbSections<dim>::open_lines() const
{
  const std::size_t n_lines = solid.shape().n_laminations() - 1;
  std::vector<std::vector<bool>> open(solid.column_stations().size() - 1, std::vector<bool>(n_lines, false));
  std::map<std::pair<int, int>, bool> holds; // column, line
  for (const auto &element : solid.glue())
  {
    bool parted = true;
    for (int k = 0; k < LayeredSolid<dim>::n_nodes_per_face; ++k)
      parted = parted && solid.glue_state(element, k).fraction >= 1. - 1e-6;
    bool &any = holds[{element.column, element.line}];
    any = any || !parted;
  }
  for (const auto &[where, any] : holds)
    open[static_cast<std::size_t>(where.first)][static_cast<std::size_t>(where.second)] = !any;
  return open;
}

template <int dim>
std::vector<typename LimbSections<dim>::Groups> LimbSections<dim>::forces(const Eigen::VectorXd &u) const
{
  const auto ends = solid.column_end_forces(u);
  const auto open = open_lines();
  std::vector<Groups> result;
  for (const Cut &cut : cut_list)
  {
    const auto position = [&](int node)
    {
      Eigen::Vector3d x = Eigen::Map<const Eigen::Vector3d>(solid.nodes()[static_cast<std::size_t>(node)].place.data());
      x.template head<dim>() += u.template segment<dim>(dim * node);
      return x;
    };
    const auto depth = [&](int node)
    { return solid.nodes()[static_cast<std::size_t>(node)].depth + solid.nodes()[static_cast<std::size_t>(node)].fallen; };
    const auto &of_column = cut.tip_end ? ends[cut.column].tip : ends[cut.column].root;
    const double sign = cut.tip_end ? 1. : -1.;
    Groups groups;
    auto first = cut.middle_nodes.begin();
    Eigen::Vector3d force = Eigen::Vector3d::Zero(), moment = Eigen::Vector3d::Zero();
    for (auto entry = cut.middle_nodes.begin(); entry != cut.middle_nodes.end(); ++entry)
    {
      force += sign * of_column[static_cast<std::size_t>(entry->first)].force;
      moment += sign * of_column[static_cast<std::size_t>(entry->first)].moment;
      const auto next = std::next(entry);
      // The line toward the back is that of the lamination itself.
      if (next != cut.middle_nodes.end() && !open[cut.column][static_cast<std::size_t>(entry->first)])
        continue;
      const int belly = first->second.first, back = entry->second.second;
      const Eigen::Vector2d n = (position(back) - position(belly)).template head<2>().normalized(), t(-n.y(), n.x());
      const Eigen::Vector3d about_middle = moment - Eigen::Vector3d(0.5 * (position(back) + position(belly))).cross(force);
      FibreSection::Group group{first->first, entry->first, {}};
      group.forces.axial = force.head<2>().dot(t);
      group.forces.shear = force.head<2>().dot(n);
      // A pull at a depth d below a point turns about it by minus d times its size.
      group.forces.moment = 0.5 * (depth(belly) + depth(back)) * group.forces.axial - about_middle.z();
      group.forces.moment_sideways = -about_middle.head<2>().dot(n);
      groups.push_back(group);
      force.setZero();
      moment.setZero();
      first = next;
    }
    result.push_back(std::move(groups));
  }
  return result;
}

template <int dim>
std::vector<FibreSectionState> LimbSections<dim>::solve(const std::vector<Groups> &forces,
                                                        const std::vector<FibreSectionState> &before) const
{
  std::vector<FibreSectionState> states;
  for (std::size_t i = 0; i < cut_list.size(); ++i)
    states.push_back(cut_list[i].section.solve(forces[i], before.empty() ? FibreSectionState{} : before[i]));
  return states;
}

template class LimbSections<2>;
template class LimbSections<3>;
} // namespace limbwright
