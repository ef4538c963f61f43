#include "solver/stages/draw_path.h"

#include "meshing/mesh/limb_mesh.h"
#include "solver/stages/draw_curve.h"
#include "solver/stages/growth.h"
#include "solver/stages/prestress.h"

#include <algorithm>
#include <cmath>

namespace limbwright
{
namespace
{
NewtonSettings newton_settings(const SolveSettings &settings)
{
  NewtonSettings newton;
  newton.max_iterations = settings.max_iterations;
  newton.tolerance = settings.tolerance;
  // Wood at its yield point can go to and fro between loading and unloading by less than this, 1e-7 of an element.
  newton.step_tolerance = 2e-11;
  // A larger one costs more steps than factorisations it saves; a solid's factorisation takes as long as five to ten steps.
  newton.reuse_below = settings.dimension == 3 ? 1e-2 : 1e-4;
  return newton;
}

template <int dim>
std::vector<std::unique_ptr<LimbModel>> make_limbs(const std::vector<const LimbMesh<dim> *> &meshes, const BowDescription &bow,
                                                   PlaneState plane, const Communicator &communicator)
{
  std::vector<std::unique_ptr<LimbModel>> limbs;
  for (const LimbMesh<dim> *mesh : meshes)
    limbs.push_back(std::make_unique<LayeredSolid<dim>>(*mesh, bow.materials, bow.adhesives, plane,
                                                        Supports::clamp(mesh->shape().description().root_station), communicator));
  return limbs;
}

std::vector<LimbModel *> bare(const std::vector<std::unique_ptr<LimbModel>> &limbs)
{
  std::vector<LimbModel *> result;
  for (const auto &limb : limbs)
    result.push_back(limb.get());
  return result;
}

std::vector<StringSeat> seats_of(const std::vector<std::unique_ptr<LimbModel>> &limbs)
{
  std::vector<StringSeat> seats;
  for (const auto &limb : limbs)
    seats.push_back(string_seat(*limb, !seats.empty()));
  return seats;
}

// The tip's tangent stands square to the section's director (which points to the belly): its lean toward the target.
double tip_lean(const Eigen::Vector3d &director)
{
  return std::atan2(director.y(), -director.x());
}
} // namespace

BowPath::BowPath(const LimbMesh<2> &mesh, const BowDescription &description, const SolveSettings &solve_settings)
    : BowPath(std::vector<const LimbMesh<2> *>{&mesh}, description, solve_settings)
{
}

BowPath::BowPath(const LimbMesh<3> &mesh, const BowDescription &description, const SolveSettings &solve_settings)
    : BowPath(std::vector<const LimbMesh<3> *>{&mesh}, description, solve_settings)
{
}

BowPath::BowPath(const std::vector<const LimbMesh<2> *> &meshes, const BowDescription &description,
                 const SolveSettings &solve_settings)
    : BowPath(make_limbs(meshes, description, solve_settings.plane, Communicator::alone()), description, solve_settings)
{
}

BowPath::BowPath(const std::vector<const LimbMesh<3> *> &meshes, const BowDescription &description,
                 const SolveSettings &solve_settings, const Communicator &communicator)
    : BowPath(make_limbs(meshes, description, solve_settings.plane, communicator), description, solve_settings)
{
}

BowPath::BowPath(std::vector<std::unique_ptr<LimbModel>> the_limbs, const BowDescription &description,
                 const SolveSettings &solve_settings)
    : limbs(std::move(the_limbs)),
      bow_string(bare(limbs), seats_of(limbs), description.string.stiffness,
                 {description.hold.free_height, description.hold.nocking_height, description.hold.free_handle,
                  description.hold.pressure_height}),
      bow(description),
      settings(solve_settings),
      equilibrium(bare(limbs), newton_settings(solve_settings))
{
  for (const auto &limb : limbs)
    if (limb->has_prestrain() && !limb->shape().description().profile.of_form)
      keep_described_shape(*limb);
  unstrung = equilibrium.zero(bow_string.n_scalars());
  // A loose layer buckles on the way; short steps follow it onto the branch that the bow takes.
  if (loose_layers())
  {
    settings.brace_steps = std::max(settings.brace_steps, least_steps_with_loose_layers);
    settings.draw_steps = std::max(settings.draw_steps, least_steps_with_loose_layers);
  }
  if (!settings.wood_yields)
    return;
  for (const auto &limb : limbs)
  {
    std::vector<std::optional<CrushingLaw>> laws;
    for (const LaminationDescription &lamination : limb->shape().description().laminations)
      laws.push_back(crushing_law(bow.materials.at(lamination.material)));
    limb->let_crush(std::move(laws));
  }
}

bool BowPath::loose_layers() const
{
  return std::any_of(limbs.begin(), limbs.end(), [](const auto &limb) { return limb->has_open_glue(); });
}

std::vector<History> BowPath::histories() const
{
  std::vector<History> result;
  for (const auto &limb : limbs)
    result.push_back(limb->history());
  return result;
}

void BowPath::restore(const std::vector<History> &saved)
{
  for (std::size_t k = 0; k < limbs.size(); ++k)
    limbs[k]->set_history(saved[k]);
}

void BowPath::restore(const PathStep &step)
{
  restore(step.history);
}

// A limb whose tip is farther from its root than its longer face is long has been pulled straight and stretched.
bool BowPath::stretched(const State &state) const
{
  for (std::size_t k = 0; k < limbs.size(); ++k)
  {
    const LimbShape &shape = limbs[k]->shape();
    const LimbDescription &limb = shape.description();
    double back = 0., belly = 0.;
    double last = limb.root_station;
    for (const double station : limbs[k]->column_stations())
    {
      const double s = std::clamp(station, limb.root_station, limb.nock.station);
      const auto length = [&](double depth_before, double depth_now)
      {
        const Point2 before = shape.place(last, depth_before), now = shape.place(s, depth_now);
        return std::hypot(now[0] - before[0], now[1] - before[1]);
      };
      back += length(shape.outer_back_depth(last), shape.outer_back_depth(s));
      belly += length(shape.outer_belly_depth(last), shape.outer_belly_depth(s));
      last = s;
    }
    const Eigen::Vector3d root(limb.root_back_x, limb.root_back_y, 0.);
    if ((bow_string.path(state, bow.full_draw, k).tip - root).norm() > 1.01 * std::max(back, belly))
      return true;
  }
  return false;
}

State BowPath::drawing_rate(const State &state, double draw, const std::vector<double> &slack_lengths)
{
  const bool no_force = std::abs(bow_string.pull(state, draw, 0)) < 1e-9;
  return equilibrium.rate(
      state, draw, no_force && bow.hold.free_handle ? bow_string.drawing_held(slack_lengths) : bow_string.drawing(slack_lengths));
}

Readings BowPath::read(const State &state, double draw) const
{
  Readings r = Readings::Zero(first_limb + 2 * static_cast<Eigen::Index>(limbs.size()));
  const auto upper = bow_string.path(state, draw, 0), at_rest = bow_string.path(unstrung, draw, 0);
  // The limb's frame turns with the handle.
  const double c = std::cos(bow_string.turn(state)), s = std::sin(bow_string.turn(state));
  const double rise = bow_string.how_held().pressure_height;
  r[tip_x] = c * upper.tip.x() - s * (upper.tip.y() - rise);
  r[tip_y] = s * upper.tip.x() + c * (upper.tip.y() - rise) + rise;
  r[tip_angle] = std::remainder(tip_lean(at_rest.director) - tip_lean(upper.director), 2. * M_PI);
  const Eigen::Vector3d tangent = Eigen::Vector3d(upper.director.y(), -upper.director.x(), 0.).normalized();
  r[string_angle] = std::acos(std::clamp(tangent.dot(upper.directions.back()), -1., 1.));
  r[nocking_height] = bow_string.height(state);
  r[handle_turn] = bow_string.turn(state);
  for (std::size_t k = 0; k < limbs.size(); ++k)
  {
    r[first_limb + 2 * static_cast<Eigen::Index>(k)] = bow_string.tension(state, k);
    r[first_limb + 2 * static_cast<Eigen::Index>(k) + 1] = bow_string.pull(state, draw, k);
  }
  return r;
}

BowPath::Kept BowPath::energies(const State &state, const std::vector<double> &slack_lengths) const
{
  Kept kept;
  const double copies = limbs.size() == 1 ? 2. : 1.;
  for (std::size_t k = 0; k < limbs.size(); ++k)
  {
    const auto energy = limbs[k]->energy(state.q[k]);
    kept.stored += copies * (energy.laminations + energy.glue + energy.wraps +
                             bow_string.energy(slack_lengths[k], bow_string.tension(state, k)));
    kept.used_up += copies * (energy.crushed + energy.parted);
  }
  return kept;
}

PathStep BowPath::drawn_step(const std::string &stage, const State &state, double draw, const std::vector<double> &slack_lengths,
                             const PathStep *last)
{
  PathStep step;
  step.stage = stage;
  step.state = state;
  step.history = histories();
  const State rate = drawing_rate(state, draw, slack_lengths);
  constexpr double nudge = 1e-5; // [m] of draw; central difference of readings that are smooth over inches
  step.readings = read(state, draw);
  step.rates = (read(state + rate * nudge, draw + nudge) - read(state - rate * nudge, draw - nudge)) / (2. * nudge);

  DrawPoint &p = step.point;
  p = point_from(step.readings, draw);
  p.stiffness = force_rate(step.readings, step.rates);
  const auto upper = bow_string.path(state, draw, 0);
  p.contact_length = upper.contact_length;
  p.lift_off_station = upper.lift_off_station;
  const auto lower = bow_string.path(state, draw, limbs.size() - 1);
  p.contact_length_lower = lower.contact_length;
  p.lift_off_station_lower = lower.lift_off_station;
  const Kept kept = energies(state, slack_lengths), farther = energies(state + rate * nudge, slack_lengths);
  p.strain_energy = kept.stored;
  p.dissipated = step.readings[used_up] = kept.used_up + snapped;
  step.rates[used_up] = std::max(0., farther.used_up - kept.used_up) / nudge; // ahead: nothing is used up on the way back
  if (last != nullptr)
  {
    // What the hand has done is what the bow has taken up.
    const double taken_up = (p.strain_energy - last->point.strain_energy) + (p.dissipated - last->point.dissipated);
    // Where a layer snaps, or glue lets go with no more draw, some of it was thrown off: what the force between has done beyond
    // it. (What the delay of growth takes says less: it is that of a draw in one jump.)
    const double lost = snaps ? std::max(0., work_between(*last, step) - taken_up) : 0.;
    snapped += lost;
    p.dissipated = step.readings[used_up] = p.dissipated + lost;
    p.work = last->point.work + taken_up + lost;
  }
  snaps = false;
  return step;
}

std::vector<LimbModel *> BowPath::solids()
{
  return bare(limbs);
}

std::vector<double> BowPath::slack_lengths(const State &braced, double brace_draw) const
{
  std::vector<double> lengths;
  for (std::size_t k = 0; k < limbs.size(); ++k)
    lengths.push_back(bow_string.slack_length(bow_string.path(braced, brace_draw, k).length, bow_string.tension(braced, k)));
  return lengths;
}

double BowPath::mark_nocking_point(State &state, double brace_height) const
{
  if (!bow_string.two_limbs())
    return brace_height;
  const Eigen::Vector3d e = bow_string.path(state, brace_height, 0).directions.front();
  const double height = bow.hold.nocking_height, rise = bow.hold.pressure_height;
  const double draw = brace_height - height * e.x() / e.y();
  state.scalars[2] = height;
  if (!bow.hold.free_handle || !bow.hold.free_height)
    return draw;
  // The braced bow swings about the hand until the drawn point is level with it: no other place bears the first pull.
  state.scalars[3] = std::atan2(height - rise, draw);
  state.scalars[2] = rise;
  return std::hypot(draw, height - rise);
}

PathStep BowPath::unstrung_step(const std::string &stage, const State &state, double brace_height) const
{
  PathStep step;
  step.stage = stage;
  step.state = state;
  step.history = histories();
  step.point.draw = brace_height;
  const Eigen::Vector3d tip = bow_string.path(state, brace_height, 0).tip;
  step.point.tip_x = tip.x();
  step.point.tip_y = tip.y();
  return step;
}

double BowPath::graded_draw(int i, double brace_draw) const
{
  if (i == settings.draw_steps)
    return bow.full_draw;
  return brace_draw + std::pow(static_cast<double>(i) / settings.draw_steps, 1.5) * (bow.full_draw - brace_draw);
}

DrawPath BowPath::run(const std::function<void(const PathProgress &)> &listening, const std::atomic<bool> *stop,
                      const PathGuide *guide, const PathKeeping &keeping)
{
  listener = listening;
  latest = {"stringing", 0, 1, bow.brace_height, 0};
  const std::function<void(const PathProgress &)> progress = [&](const PathProgress &event)
  {
    latest = event;
    if (listener)
      listener(event);
  };
  DrawPath path;
  const auto keep = [&](bool last = false)
  {
    path.sudden_growth = sudden_growth;
    path.snapped = snapped;
    if (keeping.keep)
      keeping.keep(path, last);
  };
  const auto fail = [&](const std::string &stage, const std::string &reason)
  {
    path.failed_stage = stage;
    path.reason = reason;
    keep(true);
    return path;
  };
  equilibrium.stop_when(stop);
  Outcome outcome = rest(unstrung, path.brace_iterations);
  path.steps.push_back(unstrung_step("unstrung", unstrung, bow.brace_height));
  if (keeping.begun != nullptr)
    take_up(*keeping.begun, path);
  if (!outcome.reached)
    return fail("coming to rest", outcome.reason);
  bool tangent_at_hand = keeping.begun == nullptr;
  State state = path.stringing ? path.stringing->state : path.steps.back().state;

  if (guide != nullptr && path.steps.size() <= 2 && !path.stringing && follow(*guide, path, state, progress, [&] { keep(); }))
    keep();
  if (path.guided)
  {
    path.complete = true;
    if (settings.cycles > 0 && path.after.empty())
      let_down(path, state, progress, [&] { keep(); });
    return path;
  }
  if (path.steps.size() < 2)
  {
    outcome = brace(path, state, progress, [&] { keep(); });
    tangent_at_hand = true;
    if (!outcome.reached)
      return fail("stringing", outcome.reason);
  }

  // Where the string leaves a limb the draw curve bends: that draw is closed in on; and so is one at which glue begins to part,
  // or opens or lets a loose layer snap with no more draw.
  const auto glue_parted = [&]
  { return std::any_of(limbs.begin(), limbs.end(), [](const auto &limb) { return limb->parted_length() > 0.; }); };
  bool parted = glue_parted();
  const auto close_in = [&](double from, const State &start_state, double to, const State &end_state, const Growth &growth)
  {
    if (to - from > event_step && (growth.runaway || growth.sudden || growth.snapped || (!parted && glue_parted())))
      return true;
    constexpr double close_enough = 0.5e-3; // [m]
    if (to - from <= close_enough)
      return false;
    for (std::size_t k = 0; k < limbs.size(); ++k)
      if (bow_string.path(start_state, from, k).contact_length > 0. && bow_string.path(end_state, to, k).contact_length == 0.)
        return true;
    return false;
  };
  int step = 0;
  const Loads drawing = bow_string.drawing(path.slack_lengths);
  // Where a bow's state depends on its way, parts of it may snap, and the work is settled otherwise.
  PathStep found;
  const Check check = [&](double, const State &, double draw, const State &end, bool strictly) -> std::string
  {
    if (stretched(end))
      return "the draw is longer than limbs and string can reach: the limbs would be stretched";
    if (way_matters())
      return {};
    found = drawn_step("drawing", end, draw, path.slack_lengths, &path.steps.back());
    return fault_of_draw(end, path.steps.back(), found, path.slack_lengths, strictly);
  };
  const Rate rate = [&](const State &at, double draw) { return drawing_rate(at, draw, path.slack_lengths); };
  const double brace_draw = path.steps[1].point.draw;
  double from = path.steps.back().point.draw;
  for (int i = 1; i <= settings.draw_steps && outcome.reached; ++i)
  {
    const double to = graded_draw(i, brace_draw);
    if (to <= from)
      continue; // where the path was taken up it had come farther
    outcome = march(
        state, from, to, 1, drawing, rate, path.draw_iterations, path.steps_cut,
        [&](double draw, const State &reached, int iterations)
        {
          path.steps.push_back(way_matters() ? drawn_step("drawing", reached, draw, path.slack_lengths, &path.steps.back())
                                             : std::move(found));
          path.steps.back().stage = draw == bow.full_draw ? "full draw" : "drawing";
          path.steps.back().iterations = iterations;
          if (progress)
            progress({"drawing", ++step, std::max(step, settings.draw_steps), draw, iterations});
          tangent_at_hand = true;
          parted = parted || glue_parted();
          keep();
        },
        close_in, tangent_at_hand, true, check);
    from = to;
  }
  if (!outcome.reached)
    return fail("drawing", outcome.reason);
  path.complete = true;
  keep();

  // What an inch or two too much would read: told beside the results, no part of them.
  constexpr double inch = 0.0254;
  int iterations = 0, cut = 0;
  const PathStep *last = &path.steps.back();
  PathStep beyond;
  State further = state;
  if (settings.overdraw)
    march(
        further, bow.full_draw, bow.full_draw + 2. * inch, 2, drawing, rate, iterations, cut,
        [&](double draw, const State &reached, int)
        {
          beyond = drawn_step("drawing", reached, draw, path.slack_lengths, last);
          last = &beyond;
          path.overdraw.push_back(beyond.point);
        },
        {}, tangent_at_hand, false);
  restore(path.steps.back());
  snapped = path.snapped;
  if (settings.cycles > 0)
    let_down(path, state, progress, [&] { keep(); });
  return path;
}
} // namespace limbwright
