#pragma once
// Loops over all cores whose bodies may throw: OpenMP itself would end the program.

#include <cstddef>
#include <exception>

namespace setstress {

/// Calls work(i) for i in [0, count) on all threads, which take `chunk` of them at a time; one of the
/// exceptions thrown is rethrown after the loop.
template <typename Work>
void parallel_for(std::size_t count, const Work& work, int chunk = 64) {
  std::exception_ptr failure;
#pragma omp parallel for schedule(dynamic, chunk)
  for (std::size_t i = 0; i < count; ++i) {
    try {
      work(i);
    } catch (...) {
#pragma omp critical(setstress_parallel_for)
      if (!failure) failure = std::current_exception();
    }
  }
  if (failure) std::rethrow_exception(failure);
}

}  // namespace setstress
