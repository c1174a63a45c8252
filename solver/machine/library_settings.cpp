#include "solver/machine/library_settings.hpp"

#include <dlfcn.h>
#include <unistd.h>

#include <cstdlib>
#include <string_view>

namespace setstress {

namespace {

/// Whether the BLAS in use is an OpenBLAS that took this processor for its oldest kind.
bool took_processor_for_oldest() {
  using CoreName = char* (*)();
  const auto core_name = reinterpret_cast<CoreName>(dlsym(RTLD_DEFAULT, "openblas_get_corename"));
  return core_name != nullptr && std::string_view(core_name()) == "Prescott";
}

/// The name OpenBLAS has for the youngest kind whose instructions this processor has; null if none is better.
const char* nearest_kind() {
#if defined(__x86_64__)
  if (__builtin_cpu_supports("avx512f") && __builtin_cpu_supports("avx512bw") &&
      __builtin_cpu_supports("avx512dq") && __builtin_cpu_supports("avx512vl"))
    return "SkylakeX";
  if (__builtin_cpu_supports("avx2") && __builtin_cpu_supports("fma")) return "Haswell";
#endif
  return nullptr;
}

/// Sets what is not set; whether it is set now and was not before.
bool newly_set(const char* name, const char* value) {
  return std::getenv(name) == nullptr && setenv(name, value, 0) == 0;
}

}  // namespace

void start_again_with_library_settings(char** arguments) {
  bool changed = false;
  if (std::getenv("OMP_WAIT_POLICY") == nullptr) changed |= newly_set("GOMP_SPINCOUNT", "10000");
  if (const char* kind = nearest_kind(); kind != nullptr && took_processor_for_oldest())
    changed |= newly_set("OPENBLAS_CORETYPE", kind);
  if (changed) execv("/proc/self/exe", arguments);  // returns only where it fails
}

}  // namespace setstress
