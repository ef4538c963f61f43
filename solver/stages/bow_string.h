#pragma once

#include "solver/model/section_functional.h"
#include "solver/stages/equilibrium.h"

#include <limits>
#include <optional>
#include <vector>

namespace limbwright
{
/// Where a limb's string may go, in the limb's own frame.
struct StringSeat
{
  double station = 0.;   //!< [m] of the nock; a column station
  double depth = 0.;     //!< [m] of the string there, below the back datum
  double across = 0.;    //!< [m] of the string there, from the limb's middle plane; the hand pulls in that plane
  bool mirrored = false; //!< the lower limb: its frame is the bow's with y turned round
  /// [m] from this station to the nock the string may come to lie on the limb; beyond the nock: nowhere.
  double contact_from = std::numeric_limits<double>::infinity();
  double depth_fraction = 1.; //!< [1] the nock's depth over the section: 0 at the back, 1 at the belly
  /// [m] from this station to the nock the string lies in a groove whose bottom is so far below the belly.
  double groove_from = std::numeric_limits<double>::infinity(), groove_depth = 0.;
  std::optional<StringBridgeDescription> bridge; //!< station: a column station
};

/// As a limb's description has it. A string can only come to lie on a limb that is swept toward the target near its nock, by more
/// than 10 degrees; then on its outer part.
StringSeat string_seat(const LimbModel &limb, bool mirrored);

/// The string of a bow of one limb (its mirror image understood) or two: without mass, straight from the nocking point to each
/// nock, or round the belly where that stands in its way (frictionless: the shortest path on the archer's side of the belly's
/// nodes).
///
/// Potential: sum over limbs of T_k (length_k - slack_k (1 + T_k / (2 EA))). Its derivatives give the forces on the limbs, the
/// force along the fingers and the moment on the handle, and, by T_k, the string's law; first and second derivatives are exact
/// for the path at hand.
///
/// Scalars: the tensions T_k [N], and for two limbs the nocking point's height h [m] above the pivot and the handle's turn f
/// [rad] (counter-clockwise about the hand's pressure point). The limbs' frames turn with the handle; the nocking point stays at
/// x = -draw in space.
class BowString
{
public:
  struct Hold
  {
    bool free_height = true;     //!< no force along the fingers; else the nocking point keeps the given height
    double height = 0.;          //!< [m] of the nocking point above the pivot at brace, and while drawing where it is kept
    bool free_handle = false;    //!< the handle may rock about the hand's pressure point
    double pressure_height = 0.; //!< [m] of that point above the pivot
  };

  /// solids and seats: upper limb, then lower limb where there are two. Announces its blocks; before the first assembly.
  BowString(const std::vector<LimbModel *> &solids, const std::vector<StringSeat> &seats, double stiffness, Hold hold);

  const Hold &how_held() const { return hold; }
  int n_scalars() const { return static_cast<int>(limbs.size() == 1 ? 1 : limbs.size() + 2); }
  bool two_limbs() const { return limbs.size() == 2; }
  double tension(const State &state, std::size_t limb) const { return state.scalars[static_cast<int>(limb)]; }
  double height(const State &state) const { return two_limbs() ? state.scalars[2] : 0.; }
  double turn(const State &state) const { return two_limbs() ? state.scalars[3] : 0.; }

  /// The string of one limb from the nocking point on, in the limb's frame.
  struct Path
  {
    Eigen::Vector3d nocking_point;
    std::vector<int> points;                 //!< load points it touches, from the nocking point on; the last is the nock
    std::vector<Eigen::Vector3d> directions; //!< unit vectors of its straight pieces, toward the nock
    std::vector<double> lengths;             //!< [m] of the pieces
    Eigen::Vector3d tip, director;           //!< the nock, and its section's director
    double length = 0.;                      //!< [m]
    double contact_length = 0.;              //!< [m] of string from where it first touches the limb to the nock
    double lift_off_station = 0.;            //!< [m] where it leaves the limb; the nock's where it touches nothing else
  };
  Path path(const State &state, double draw, std::size_t limb) const;

  /// Stringing: the nocking point is held at brace height, level with the pivot; one tension for the whole string; the parameter
  /// [rad] is the sum over the limbs of the angle between the string at the nocking point and the handle, zero when the string is
  /// straight there. One limb counts alone.
  Loads bracing(double brace_height) const;
  /// The parameter of bracing() for an unstrung bow.
  double bracing_start(const State &unstrung, double brace_height) const;

  /// Drawing; parameter = draw [m].
  Loads drawing(const std::vector<double> &slack_lengths) const { return drawing(slack_lengths, hold); }
  /// The same with height and handle kept where they are: a rocking bow whose string carries no force may stand at any angle, and
  /// has no rate of its own there.
  Loads drawing_held(const std::vector<double> &slack_lengths) const;

  /// Letting a straight string go: every tension is parameter times its value given. Scalars keep the handle still.
  Loads releasing(double brace_height, const std::vector<double> &tensions) const;

  /// How much one newton of a half's tension pulls at the nocking point along the shot [1].
  double pull(const State &state, double draw, std::size_t limb) const;
  double slack_length(double length, double tension) const { return length / (1. + tension * compliance); }
  double energy(double slack_length, double tension) const { return 0.5 * tension * tension * compliance * slack_length; }

private:
  struct Limb
  {
    StringSeat seat;
    LoadPoints points;            // nock, director, then what the string may lie on, from handle to tip
    std::vector<double> stations; // [m] of those
  };
  std::vector<Limb> limbs;
  double compliance;
  Hold hold;

  // The nocking point in a limb's frame, with derivatives by height, turn and draw.
  struct NockingPoint
  {
    Eigen::Vector3d place, by_height, by_turn, by_draw;
    Eigen::Vector3d by_turn_turn, by_height_turn, by_draw_turn;
  };
  NockingPoint nocking_point(const State &state, double draw, std::size_t limb) const;
  Path path_to(const Limb &limb, const Eigen::Vector3d &nocking_point, const Eigen::VectorXd &values) const;
  // The straight piece at the nocking point, by which a half's tension reaches the hand.
  struct FirstPiece
  {
    NockingPoint nocking_point;
    int point;                 // load point at its far end
    Eigen::Vector3d direction; // toward the nock
    Eigen::Matrix3d stiffness; // second derivative of its length by one of its ends [1/m]
    double string_length;      // [m] of the whole half
  };
  FirstPiece add_tension(const State &state, double draw, std::size_t limb, bool parameter_is_draw, CoupledSystem &system) const;
  Loads drawing(const std::vector<double> &slack_lengths, const Hold &held) const;
  void keep(const State &state, int scalar, double value, CoupledSystem &system) const;
};

/// A point that the string may come to lie on.
struct ContactPoint
{
  double station = 0.; //!< [m]
  SectionFunctional place;
};

/// Those of a limb, ascending by station, the nock left out. From the seat's contact_from on, one node a column station, nearest
/// to the seat's depth fraction: that is the belly for a real nock; a published bow whose string runs to the limb's axis lies on
/// the axis. Within a groove its bottom in place of the belly; and the top of a bridge.
std::vector<ContactPoint> contact_points(const LimbModel &solid, const StringSeat &seat);
} // namespace limbwright
