#include "cases/thread_waiting.hpp"

#include <unistd.h>

#include <cstdlib>

namespace setstress {

void wait_without_long_spins(char** arguments) {
  if (std::getenv("OMP_WAIT_POLICY") != nullptr || std::getenv("GOMP_SPINCOUNT") != nullptr) return;
  if (setenv("GOMP_SPINCOUNT", "10000", 0) != 0) return;
  execv("/proc/self/exe", arguments);  // returns only where it fails
}

}  // namespace setstress
