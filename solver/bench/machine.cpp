#include "solver/bench/machine.hpp"

#include <omp.h>
#include <sys/resource.h>

#include <algorithm>
#include <vector>

#include "solver/bench/clock.hpp"
#include "solver/linear/factor/block_cholesky.hpp"

extern "C" void dgemm_(const char* transpose_a, const char* transpose_b, const int* rows, const int* columns,
                       const int* inner, const double* alpha, const double* a, const int* lda,
                       const double* b, const int* ldb, const double* beta, double* c, const int* ldc);

namespace setstress::bench {

double triad_bandwidth(int threads) {
  constexpr std::ptrdiff_t entries = 20'000'000;
  std::vector<double> a(entries), b(entries, 1.0), d(entries, 2.0);
  double best = 0;
  for (int repeat = 0; repeat < 7; ++repeat) {
    const Clock clock;
#pragma omp parallel for schedule(static) num_threads(threads)
    for (std::ptrdiff_t i = 0; i < entries; ++i)
      a[static_cast<std::size_t>(i)] = b[static_cast<std::size_t>(i)] + 3.0 * d[static_cast<std::size_t>(i)];
    best = std::max(best, 24e-9 * static_cast<double>(entries) / clock.seconds());
  }
  return best;
}

double gemm_rate(int threads) {
  constexpr int n = 2000;
  const double one = 1, zero = 0;
  std::vector<double> a(n * n, 1.0), b(n * n, 0.5), c(n * n);
  set_factor_threads(threads);
  double best = 0;
  for (int repeat = 0; repeat < 3; ++repeat) {
    const Clock clock;
    dgemm_("N", "N", &n, &n, &n, &one, a.data(), &n, b.data(), &n, &zero, c.data(), &n);
    best = std::max(best, 2e-9 * n * n * n / clock.seconds());
  }
  set_factor_threads(1);
  return best;
}

double peak_memory() {
  rusage usage{};
  getrusage(RUSAGE_SELF, &usage);
  return 1024.0 * static_cast<double>(usage.ru_maxrss);
}

}  // namespace setstress::bench
