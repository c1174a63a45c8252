#include "cases/study/statistics/given_data.hpp"

#include <algorithm>
#include <boost/random/mersenne_twister.hpp>
#include <boost/random/uniform_int_distribution.hpp>
#include <cmath>
#include <map>
#include <numeric>

#include "cases/study/statistics/distribution.hpp"

namespace setstress {

namespace {

constexpr std::size_t most_classes = 16, runs_a_class = 8;

/// Class of each run of `output` that has a value, from 0.
struct Classes {
  std::vector<int> of;  ///< by run, -1 without a value
  int count = 0;
};

Classes classes_of(const std::vector<Level>& levels, const std::vector<double>& output) {
  Classes classes{std::vector<int>(output.size(), -1), 0};
  for (const Level& level : levels) {
    bool used = false;
    for (const std::size_t run : level.runs)
      if (!std::isnan(output.at(run))) classes.of[run] = classes.count, used = true;
    if (used) ++classes.count;
  }
  return classes;
}

std::vector<std::size_t> runs_with_value(const std::vector<double>& output) {
  std::vector<std::size_t> runs;
  for (std::size_t run = 0; run < output.size(); ++run)
    if (!std::isnan(output[run])) runs.push_back(run);
  return runs;
}

struct Shares {
  double plain;      ///< variance between classes over the whole, chance and all
  double corrected;  ///< epsilon squared
};

/// Of `runs`, which may repeat; NaN where nothing varies or classes are as many as runs.
Shares shares_at(const std::vector<std::size_t>& runs, const Classes& classes,
                 const std::vector<double>& output, std::vector<double>& sums, std::vector<double>& counts) {
  sums.assign(static_cast<std::size_t>(classes.count), 0);
  counts.assign(sums.size(), 0);
  const auto n = static_cast<double>(runs.size());
  double mean = 0, whole = 0, between = 0;
  for (const std::size_t run : runs) mean += output[run] / n;
  for (const std::size_t run : runs) {
    const auto c = static_cast<std::size_t>(classes.of[run]);
    sums[c] += output[run] - mean;
    counts[c] += 1;
    whole += (output[run] - mean) * (output[run] - mean);
  }
  double filled = 0;
  for (std::size_t c = 0; c < sums.size(); ++c)
    if (counts[c] > 0) between += sums[c] * sums[c] / counts[c], filled += 1;
  if (!(whole > 0) || n <= filled) return {std::nan(""), std::nan("")};
  return {between / whole, 1 - (whole - between) / (n - filled) / (whole / (n - 1))};
}

bool does_vary(const std::vector<double>& output, const std::vector<std::size_t>& runs) {
  return std::ranges::any_of(runs, [&](std::size_t run) { return output[run] != output[runs.front()]; });
}

double in_unit(double share) {
  return std::clamp(share, 0.0, 1.0);
}

/// Draws with all their values, and what factors that vary within a draw, or only between draws, do.
class Draws {
 public:
  Draws(const std::vector<FactorColumn>& factors, const std::vector<double>& output,
        const std::vector<int>& draw)
      : output_(output) {
    collect(draw);
    for (const std::vector<std::size_t>& runs : runs_) {
      double mean = 0;
      for (const std::size_t run : runs) mean += output[run] / static_cast<double>(runs.size());
      means_.push_back(mean);
    }
    const std::size_t most = std::clamp<std::size_t>(runs_.size() / runs_a_class, 2, most_classes);
    for (const FactorColumn& factor : factors) {
      varies_within_.push_back(varies_within(factor));
      classes_.push_back(varies_within_.back() ? classes_of(levels_of(factor, most), output)
                                               : classes_of(levels_of(by_draw(factor), most), means_));
    }
  }
  [[nodiscard]] std::size_t count() const { return runs_.size(); }
  [[nodiscard]] int classes(std::size_t factor) const { return classes_[factor].count; }
  [[nodiscard]] bool vary() const {
    return std::ranges::any_of(runs_, [&](const auto& runs) {
      return std::ranges::any_of(runs, [&](std::size_t run) { return output_[run] != output_[runs_[0][0]]; });
    });
  }
  /// By factor, of the draws `sample`, which may repeat.
  [[nodiscard]] std::vector<Shares> shares(const std::vector<std::size_t>& sample) const {
    std::vector<std::size_t> runs;
    for (const std::size_t each : sample) runs.insert(runs.end(), runs_[each].begin(), runs_[each].end());
    const double ratio = variance(means_, sample) / variance(output_, runs);
    std::vector<Shares> all;
    std::vector<double> sums, counts;
    for (std::size_t f = 0; f < classes_.size(); ++f) {
      const bool within = varies_within_[f];
      Shares found = shares_at(within ? runs : sample, classes_[f], within ? output_ : means_, sums, counts);
      if (!within) found.plain *= ratio, found.corrected *= ratio;
      all.push_back(found);
    }
    return all;
  }

 private:
  void collect(const std::vector<int>& draw) {
    std::map<int, std::vector<std::size_t>> by_draw;
    for (std::size_t run = 0; run < output_.size(); ++run)
      by_draw[draw.empty() ? static_cast<int>(run) : draw[run]].push_back(run);
    for (const auto& [number, runs] : by_draw)
      if (std::ranges::none_of(runs, [&](std::size_t run) { return std::isnan(output_[run]); }))
        runs_.push_back(runs);
  }
  [[nodiscard]] bool varies_within(const FactorColumn& factor) const {
    return std::ranges::any_of(runs_, [&](const auto& runs) {
      return std::ranges::any_of(runs, [&](std::size_t run) {
        return factor.is_number() ? factor.numbers[run] != factor.numbers[runs.front()]
                                  : factor.words[run] != factor.words[runs.front()];
      });
    });
  }
  [[nodiscard]] FactorColumn by_draw(const FactorColumn& factor) const {
    FactorColumn column{factor.name, {}, {}};
    for (const auto& runs : runs_)
      if (factor.is_number())
        column.numbers.push_back(factor.numbers[runs.front()]);
      else
        column.words.push_back(factor.words[runs.front()]);
    return column;
  }
  [[nodiscard]] static double variance(const std::vector<double>& values,
                                       const std::vector<std::size_t>& which) {
    double mean = 0, sum = 0;
    for (const std::size_t i : which) mean += values[i] / static_cast<double>(which.size());
    for (const std::size_t i : which) sum += (values[i] - mean) * (values[i] - mean);
    return sum / static_cast<double>(which.size());
  }

  const std::vector<double>& output_;
  std::vector<std::vector<std::size_t>> runs_;  ///< by draw
  std::vector<double> means_;                   ///< by draw
  std::vector<bool> varies_within_;             ///< by factor
  std::vector<Classes> classes_;                ///< by factor: of runs where it varies within, else of draws
};

}  // namespace

std::vector<VarianceShare> variance_shares(const std::vector<FactorColumn>& factors,
                                           const std::vector<double>& output, const std::vector<int>& draw,
                                           int resamples, std::uint64_t seed) {
  const Draws draws(factors, output, draw);
  if (draws.count() < static_cast<std::size_t>(fewest_for_shares) || !draws.vary()) return {};
  std::vector<std::size_t> sample(draws.count());
  std::iota(sample.begin(), sample.end(), std::size_t{0});
  const std::vector<Shares> found = draws.shares(sample);
  std::vector<std::vector<double>> drawn(factors.size());
  boost::random::mt19937_64 generator(seed);
  boost::random::uniform_int_distribution<std::size_t> any(0, draws.count() - 1);
  for (int r = 0; r < resamples; ++r) {
    for (std::size_t& each : sample) each = any(generator);
    const std::vector<Shares> again = draws.shares(sample);
    for (std::size_t f = 0; f < factors.size(); ++f)
      if (!std::isnan(again[f].corrected)) drawn[f].push_back(again[f].corrected);
  }
  std::vector<VarianceShare> shares;
  for (std::size_t f = 0; f < factors.size(); ++f) {
    shares.push_back({{0, 0, 1}, draws.classes(f)});
    if (std::isnan(found[f].corrected)) continue;
    // What was drawn scatters about the plain share, as if that were the truth.
    const double chance = found[f].plain - found[f].corrected;
    shares.back().share.value = in_unit(found[f].corrected);
    if (drawn[f].empty()) continue;
    shares.back().share.low = in_unit(quantile(drawn[f], 0.025) - chance);
    shares.back().share.high = in_unit(quantile(drawn[f], 0.975) - chance);
  }
  return shares;
}

std::vector<VarianceShare> shares_of_whole_grid(const std::vector<FactorColumn>& factors,
                                                const std::vector<double>& output) {
  const std::vector<std::size_t> runs = runs_with_value(output);
  if (runs.empty() || !does_vary(output, runs)) return {};
  std::vector<VarianceShare> shares;
  std::vector<double> sums, counts;
  for (const FactorColumn& factor : factors) {
    const Classes classes = classes_of(levels_of(factor, factor.size()), output);
    const double plain = shares_at(runs, classes, output, sums, counts).plain;
    const double share = std::isnan(plain) ? 1 : in_unit(plain);  // a value for each run: the only factor
    shares.push_back({{share, share, share}, classes.count});
  }
  return shares;
}

double share_of_pair(const FactorColumn& a, const FactorColumn& b, const std::vector<double>& output,
                     std::size_t most) {
  const std::vector<std::size_t> runs = runs_with_value(output);
  const Classes first = classes_of(levels_of(a, most), output),
                second = classes_of(levels_of(b, most), output);
  Classes cells{std::vector<int>(output.size(), -1), first.count * second.count};
  for (const std::size_t run : runs) cells.of[run] = first.of[run] * second.count + second.of[run];
  std::vector<double> sums, counts;
  return shares_at(runs, cells, output, sums, counts).corrected;
}

}  // namespace setstress
