#pragma once

#include "cases/report/table.h"
#include "cases/study/scatter.h"

#include <atomic>
#include <filesystem>
#include <functional>
#include <map>
#include <memory>
#include <optional>

namespace limbwright
{
class BowPattern;

struct BatchPlan
{
  ScatterSizes sizes;
  std::uint64_t seed = 1;
  std::size_t n_bows = 64;
};

/// One bow of a batch.
struct BatchBow
{
  double weight = 0.;                                        //!< [N]; NaN where it could not be drawn
  double belly_index = 0., back_index = 0., glue_index = 0.; //!< [1]
  double worst_index = 0.;                                   //!< [1] of those told to people
  double mass = 0.;                                          //!< [kg] of both limbs
  double comfortable = 0.;                                   //!< [1] one where no place is past its mark (verdict.h), else none

  bool drawn() const { return weight > 0.; }
};
/// By number.
using BatchBows = std::map<std::size_t, BatchBow>;

/// The bow as drawn up, from whose braced and drawn state every bow of its batch begins; null where it makes no limb.
std::shared_ptr<BowPattern> batch_pattern(const Case &bow_case, const std::atomic<bool> *stop);

/// The i-th bow of a batch, strung and drawn. pattern: null where it is to begin from nothing, on columns of its own.
BatchBow draw_one_of_batch(const Case &bow_case, const std::vector<Tolerance> &tolerances, const BatchPlan &plan, std::size_t i,
                           const BowPattern *pattern, const std::atomic<bool> *stop);

/// Where a batch keeps what is done, so that it can be gone on with: a folder with a file for each rank, a line for each bow,
/// numbers with all their digits.
class BatchFolder
{
public:
  /// Makes the folder when missing. Throws std::runtime_error when it holds another batch: another case, scatter or seed. More
  /// bows of the same batch may be asked for. Throws CannotWrite.
  BatchFolder(std::filesystem::path folder, const Case &bow_case, const BatchPlan &plan);

  BatchBows done() const;
  /// Adds one bow to a rank's file and has it on the disk.
  void add(int rank, std::size_t i, const BatchBow &bow) const;

private:
  std::filesystem::path place;
};

/// Does a rank's share: of those not in `done`, every n_ranks-th. What comes out does not depend on how many ranks there are.
void run_share(const Case &bow_case, const BatchPlan &plan, const BatchFolder &folder, const BatchBows &done, int rank,
               int n_ranks, const std::function<void(std::size_t done, std::size_t of)> &told, const std::atomic<bool> *stop);

/// First-order effect of every tolerance, one standard deviation of it, on the weight [N]: from one converged bow. The draws are
/// independent, so that their squares add up to the variance: a modulus' effect holds what it brings of strength, a strength's is
/// what is left of it at a given modulus.
struct LinearSpread
{
  double nominal_weight = 0.; //!< [N]
  std::vector<double> effects;
  double deviation() const; //!< [N] of the weight
};
std::optional<LinearSpread> linear_spread(const Case &bow_case, const std::vector<Tolerance> &tolerances,
                                          const std::atomic<bool> *stop);

struct BatchStatistics
{
  std::size_t n_drawn = 0, n_failed = 0;
  double mean = 0., deviation = 0.; //!< [N] of the weight
  double share_within = 0.;         //!< [1] of the bows within 2 lb of the weight aimed at
  double share_comfortable = 0.;    //!< [1] with no place past its mark
  double share_above_one = 0.;      //!< [1] with some index of one or above
  double share_back_governs = 0.;   //!< [1] of those drawn whose back has the greater index
  double mass_deviation = 0.;       //!< [kg]
};
/// aim: [N]. Bows that could not be drawn count as neither within nor sound.
BatchStatistics statistics_of(const BatchBows &bows, double aim);

/// Every bow by number: its deviations and what came of it.
Table batch_table(const std::vector<Tolerance> &tolerances, const BatchPlan &plan, const BatchBows &bows);

std::string batch_words(const Case &bow_case, const BatchPlan &plan, const std::vector<Tolerance> &tolerances,
                        const BatchBows &bows, const std::optional<LinearSpread> &linear, double aim);
} // namespace limbwright
