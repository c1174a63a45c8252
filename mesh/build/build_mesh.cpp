#include "mesh/build/build_mesh.hpp"

#include <dlfcn.h>
#include <fmt/format.h>

#include <filesystem>
#include <stdexcept>

#include "mesh/geometry/mesher.hpp"

namespace setstress {
namespace {

namespace fs = std::filesystem;

/// Beside an installed program, or where it was built.
fs::path mesher_file() {
  const fs::path built = SETSTRESS_BUILT_MESHER;
  const fs::path program = fs::read_symlink("/proc/self/exe").parent_path();
  const fs::path installed =
      (program.parent_path() / SETSTRESS_MESHER_FROM_PREFIX / built.filename()).lexically_normal();
  for (const fs::path& file : {installed, built})
    if (fs::is_regular_file(file)) return file;
  throw std::runtime_error(fmt::format("the mesher is neither {} nor {}; install setstress again",
                                       installed.string(), built.string()));
}

/// Stays open: what it threw may still be looked at.
const Mesher& open_mesher() {
  const fs::path file = mesher_file();
  void* const library = dlopen(file.c_str(), RTLD_LAZY | RTLD_LOCAL);
  if (library == nullptr)
    throw std::runtime_error(
        fmt::format("the mesher cannot be loaded ({}); install setstress again", dlerror()));
  const auto entry = reinterpret_cast<decltype(&setstress_mesher)>(dlsym(library, "setstress_mesher"));
  const Mesher* const found = entry == nullptr ? nullptr : entry();
  const Mesher ours;
  if (found == nullptr || std::string(found->version) != ours.version || found->bytes != ours.bytes)
    throw std::runtime_error(
        fmt::format("{} belongs to another version of setstress; install setstress again", file.string()));
  return *found;
}

const Mesher& mesher() {
  static const Mesher& opened = open_mesher();
  return opened;
}

}  // namespace

void load_mesher() {
  (void)mesher();
}

void check_dimensions(const Geometry& geometry) {
  mesher().check_dimensions(geometry);
}

void check(const Geometry& geometry) {
  mesher().check(geometry);
}

Mesh build_mesh(const Geometry& geometry, const MeshSize& size, const BeforeMeshing& before) {
  return mesher().build_mesh(geometry, size, before);
}

PreparedSurface prepared_surface(const ToothCase& tooth_case) {
  return mesher().prepared_surface(tooth_case);
}

}  // namespace setstress
