#pragma once

#include "solver/bow_description.h"
#include "solver/model/history.h"
#include "solver/model/layered_solid.h"
#include "solver/results.h"
#include "solver/stages/bow_string.h"
#include "solver/stages/limit_point.h"

#include <atomic>
#include <functional>
#include <memory>
#include <optional>
#include <stdexcept>

namespace limbwright
{
struct Growth;

/// What is read off the bow in one state, and interpolated between states: upper tip x, y [m], tip angle and string angle [rad],
/// nocking point's height [m], the handle's turn [rad] and the energy used up [J]; then for each limb its tension [N] and how
/// much its half of the string is pulled along the shot (sine of its lean) [1].
using Readings = Eigen::VectorXd;

/// One equilibrium on the way from unstrung to full draw.
struct PathStep
{
  std::string stage; //!< "unstrung", "braced", "drawing", "full draw", "letting down", "let down", "unstrung again"
  State state;
  std::vector<History> history; //!< by limb, after this step
  DrawPoint point;
  int iterations = 0;
  Readings readings, rates; //!< rates: d readings / d draw; empty while unstrung
};

/// A bow half strung.
struct StringingStep
{
  double parameter = 0.; //!< of BowString::bracing()
  State state;
  std::vector<History> history; //!< by limb
};

struct DrawPath
{
  std::vector<PathStep> steps;   //!< unstrung, braced, each draw step; the last is the state reached
  std::vector<PathStep> after;   //!< the first cycle's way down, then "let down" and "unstrung again" after the last cycle
  std::vector<DrawCycle> cycles; //!< as far as they came; empty where the bow was left drawn
  std::optional<StringingStep> stringing; //!< the last state on the way to brace, until that is reached
  double snapped = 0.;               //!< [J] lost in loose layers' snapping and sudden growth of glue, of the bow, after brace
  std::vector<double> sudden_growth; //!< [m] draws at which glue parted by itself, with no more draw
  std::string after_failed;          //!< why letting down stopped; empty when it did not
  std::vector<DrawPoint> overdraw;   //!< 1 and 2 in past full draw, as far as they were reached
  bool complete = false;
  bool guided = false; //!< nothing was solved between the braced and the full-drawn state
  std::string failed_stage, reason;
  double slack_length = 0.;          //!< [m] unstressed, of the upper limb's half of the string
  std::vector<double> slack_lengths; //!< [m] of each half
  int brace_iterations = 0, draw_iterations = 0, let_down_iterations = 0, steps_cut = 0;
};

/// A draw that was broken off cannot be taken up again; the message says why and what to do.
class CannotResume : public std::runtime_error
{
public:
  using std::runtime_error::runtime_error;
};

/// A simpler model of the same bow that has been drawn, or the same model of a bow that differs a little, its states carried
/// over: where this one begins.
struct PathGuide
{
  const DrawPath &path;                           //!< complete
  std::function<State(const State &)> carry_over; //!< a state of it as a first guess
};

/// What a path leaves behind on its way, so that one that was broken off can be taken up again.
struct PathKeeping
{
  /// Called after every step that was taken, also of letting down, and at the end of a path that is not complete (last).
  std::function<void(const DrawPath &path, bool last)> keep;
  const DrawPath *begun = nullptr; //!< of the same bow on the same meshes: the path goes on from its last state
};

struct PathProgress
{
  std::string stage;
  int step, n_steps;
  double draw; //!< [m]; the brace height while stringing
  int iterations;
  int n_following = 0; //!< on the way to the next step: small steps in which a loose layer or opening glue has been followed
};

/// Strings and draws a bow: one limb of a symmetric bow, or an upper and a lower one, each in its own frame.
class BowPath
{
public:
  /// In which a bow with an open patch is strung, and drawn.
  static constexpr int least_steps_with_loose_layers = 8;

  /// A symmetric bow by one limb.
  BowPath(const LimbMesh<2> &mesh, const BowDescription &bow, const SolveSettings &settings);
  BowPath(const LimbMesh<3> &mesh, const BowDescription &bow, const SolveSettings &settings);
  /// meshes: the one limb, or the upper and the lower one.
  BowPath(const std::vector<const LimbMesh<2> *> &meshes, const BowDescription &bow, const SolveSettings &settings);
  BowPath(const std::vector<const LimbMesh<3> *> &meshes, const BowDescription &bow, const SolveSettings &settings,
          const Communicator &communicator = Communicator::alone());

  /// Never throws for a stage that fails: the path then ends at the last good state, with the reason. Throws CannotResume where
  /// what was begun is not of this bow on these meshes.
  /// With a guide the bow is put to its braced and its full-drawn state at once (nested iteration), and nothing is solved between
  /// them; wood that yields does so in two steps, as if it were drawn in one go. Where Newton's method fails from there, the bow
  /// is drawn step by step. A path that was let down, or is complete, is let down anew where it is taken up again.
  DrawPath run(const std::function<void(const PathProgress &)> &listening, const std::atomic<bool> *stop,
               const PathGuide *guide = nullptr, const PathKeeping &keeping = {});

  std::size_t n_limbs() const { return limbs.size(); }
  const LimbModel &limb(std::size_t number = 0) const { return *limbs[number]; }
  /// The same, of the dimension that its mesh has.
  template <int dim = 2>
  const LayeredSolid<dim> &solid(std::size_t number = 0) const
  {
    return dynamic_cast<const LayeredSolid<dim> &>(*limbs[number]);
  }
  /// Whether the bow's state depends on the way to it: glue that can part, loose layers that buckle.
  bool way_matters() const;
  /// Whether a lamination of any limb is prestrained.
  bool prestrained() const;
  /// Takes the limbs back to what they remembered after a step.
  void restore(const PathStep &step);
  void restore(const std::vector<History> &saved);
  std::vector<LimbModel *> solids();
  /// The arrow's nocking point is marked on the straight string of a braced bow: sets height and turn. The draw there [m].
  double mark_nocking_point(State &state, double brace_height) const;
  /// [m] unstressed, of each half of the string of a braced bow, the nocking point marked at a draw.
  std::vector<double> slack_lengths(const State &braced, double brace_draw) const;
  /// How the bow of solids of the whole width stands sideways in a step, handle and nocking point held.
  SidewaysHold sideways(const PathStep &step, const std::vector<double> &slack_lengths);
  const BowString &string() const { return bow_string; }
  const SolveSeconds &seconds() const { return equilibrium.seconds(); }

private:
  BowPath(std::vector<std::unique_ptr<LimbModel>> limbs, const BowDescription &bow, const SolveSettings &settings);

  std::vector<std::unique_ptr<LimbModel>> limbs;
  BowString bow_string;
  const BowDescription &bow;
  SolveSettings settings;
  Equilibrium equilibrium;
  std::vector<double> sudden_growth;                  // draws, or parameters of stringing, at which glue opened with no more draw
  bool growing = false;                               // it did in the last step
  State unstrung;                                     // at rest before it is strung
  double snapped = 0.;                                // [J] lost in loose layers' snapping and sudden growth of glue, so far
  bool snaps = false;                                 // a layer did since the last step, or glue gave way
  std::function<void(const PathProgress &)> listener; // while the bow is run
  PathProgress latest{"stringing", 0, 1, 0., 0};      // of its steps

  struct Outcome
  {
    bool reached = true;
    std::string reason;
  };
  /// [m] of draw: what glue and loose layers do is closed in on to this.
  static constexpr double event_step = 0.1 * 0.0254;
  using Accept = std::function<void(double parameter, const State &state, int iterations)>;
  /// Whether a step from one state to the next passes something that must be closed in on: it is then taken in halves. Where the
  /// growth runs away there is no end.
  using Split = std::function<bool(double from, const State &start, double to, const State &end, const Growth &growth)>;
  using Rate = std::function<State(const State &state, double parameter)>;
  /// Why a state that was found is none of this path, in plain words; nothing where it is. Such a step is cut as one that fails.
  /// strictly: before a fold has been looked for.
  using Check = std::function<std::string(double from, const State &start, double to, const State &end, bool strictly)>;
  /// Takes a state in equilibrium at `from` to the parameter `to`, in n_steps steps or more where they must be cut.
  /// predict_first: the last factorised tangent is that of the way on. follow: glue that grows and layers that snap; else a step
  /// that would need it fails. With a split they are followed in steps no longer than event_step.
  Outcome march(State &state, double from, double to, int n_steps, const Loads &loads, const Rate &rate, int &iterations,
                int &steps_cut, const Accept &accept, const Split &split, bool predict_first = true, bool follow = true,
                const Check &check = {});
  /// Where a march that steps do not take further leads, by arc length: what lies before its target, or before a fold, becomes
  /// its state. step: the one that failed.
  LimitPoint seek_fold(State &state, double &at, double step, double to, const Loads &loads, const Rate &rate, double shortest);
  /// "the limb folds at the knot at 12.0 in": by how the limbs move on at the fold.
  std::string fold_words(const State &state, const std::vector<Eigen::VectorXd> &motion) const;
  /// Whether the last state found would stay where it is, its string as long as it is; true where that is not known.
  /// Not strictly: its wood springing back as it leaves, for wood that would only be crushed on in one spot shows in the next
  /// step.
  bool stands(const State &state, double draw, const std::vector<double> &slack_lengths, bool strictly);
  /// Check of a step of the draw: the state stands, the string pulls, and the hand's work is what the bow has taken up.
  std::string fault_of_draw(const State &state, const PathStep &last, const PathStep &step,
                            const std::vector<double> &slack_lengths, bool strictly);
  bool stretched(const State &state) const;
  /// Braced and full-drawn state from the guide's, added to the path. False, and nothing done, where they are not reached.
  /// Goes on from a braced state that the path has already.
  bool follow(const PathGuide &guide, DrawPath &path, State &state, const std::function<void(const PathProgress &)> &progress,
              const std::function<void()> &keep);
  /// Whether what was begun is of these meshes.
  bool fits(const DrawPath &begun);
  /// Sets a path, and the limbs' memory, to where one was broken off. Throws CannotResume.
  void take_up(const DrawPath &begun, DrawPath &path);
  /// [rad] of a limb's tip between two states, to the nearest half turn.
  double turn_of_tip(const State &from, const State &to, std::size_t limb) const;
  /// From unstrung to braced in n_steps or more, as far as it goes.
  Outcome string_up(State &state, double start, int n_steps, DrawPath &path, const Accept &accept, bool predict_first);
  /// From unstrung, or the path's last state on the way, to braced, which is added to the path.
  Outcome brace(DrawPath &path, State &state, const std::function<void(const PathProgress &)> &progress,
                const std::function<void()> &keep);
  bool loose_layers() const; //!< over an open patch
  /// Lets prestrained limbs come to rest without a string, from the described shape.
  Outcome rest(State &state, int &iterations);
  std::vector<History> histories() const;
  /// The bow without a string.
  PathStep unstrung_step(const std::string &stage, const State &state, double brace_height) const;
  /// [m] the i-th of the draw steps from brace: tension and tip turn fast just after it and evenly later, so that steps which
  /// start short serve the draw curve between them best.
  double graded_draw(int i, double brace_draw) const;
  /// Lets a drawn bow down and draws it again, settings.cycles times, then takes the string off.
  void let_down(DrawPath &path, State state, const std::function<void(const PathProgress &)> &progress,
                const std::function<void()> &keep);
  /// Strings the limbs as they are to the brace height at which the string has the slack length [m] of both halves together: from
  /// a state with the string nearly straight. The height [m], or the reason why not.
  Outcome brace_again(State &state, double slack_length, double &brace_height, int &iterations);
  State drawing_rate(const State &state, double draw, const std::vector<double> &slack_lengths);
  Readings read(const State &state, double draw) const;
  struct Kept
  {
    double stored = 0., used_up = 0.; //!< [J] of the whole bow; snaps not counted
  };
  Kept energies(const State &state, const std::vector<double> &slack_lengths) const;
  PathStep drawn_step(const std::string &stage, const State &state, double draw, const std::vector<double> &slack_lengths,
                      const PathStep *last);
};
} // namespace limbwright
