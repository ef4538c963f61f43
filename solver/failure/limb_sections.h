#pragma once

#include "solver/failure/fibre_section.h"
#include "solver/model/layered_solid.h"

#include <map>
#include <string>
#include <vector>

namespace limbwright
{
/// The cross-sections of a limb at its column stations as fibres, and what the model's nodal forces make them bear. A station has
/// one cut, seen from its root side; where laminations end or open glue begins there, a second one, seen from its tip side.
template <int dim>
class LimbSections
{
public:
  struct Cut
  {
    std::size_t station = 0;                         //!< number of the column station
    std::size_t column = 0;                          //!< whose end face it is
    bool tip_end = true;                             //!< of that column; else its root end
    std::vector<int> nodes;                          //!< of the face, in the order of the section's points
    std::map<int, std::pair<int, int>> middle_nodes; //!< by lamination: at its belly and its back, in the middle of the width
    double tapers = 1.; //!< [1] how much slopes count: plane sections strain the outer fibres of a blunt wedge, which shear
                        //!< cannot load; nothing within a stack's thickness of a lamination's end, all from two on
    FibreSection section;
  };
  using Groups = std::vector<FibreSection::Group>;

  /// After LayeredSolid::let_crush().
  LimbSections(const LayeredSolid<dim> &solid, const std::map<std::string, Material> &materials);

  const std::vector<Cut> &cuts() const { return cut_list; }
  /// The cut at an end of a column: numbers in cuts().
  std::size_t cut_at(std::size_t column, bool tip_end) const;

  /// Angle of a lamination's grain from the line along which the section's stress is counted, toward the back. [rad]
  double grain_turn(const Cut &cut, std::size_t lamination) const;

  /// What each cut bears at displacement u [m], with the committed history.
  std::vector<Groups> forces(const Eigen::VectorXd &u) const;

  /// By cut; see FibreSection::solve(). before: empty at the beginning.
  std::vector<FibreSectionState> solve(const std::vector<Groups> &forces, const std::vector<FibreSectionState> &before) const;

private:
  const LayeredSolid<dim> &solid;
  std::vector<Cut> cut_list;
  std::vector<std::array<std::vector<int>, 2>> laminations_of; // by column: at its root and tip end, from belly to back

  FibreSection section_of(const Cut &cut, const std::map<std::string, Material> &materials) const;
  // By column and line: whether nothing holds there.
  std::vector<std::vector<bool>> open_lines() const;
};
} // namespace limbwright
