#include "mesh/mesher/gmsh_session.hpp"

#include <fmt/format.h>
#include <gmsh.h>
#include <omp.h>

#include <stdexcept>
#include <vector>

#include "mesh/geometry/geometry.hpp"

namespace setstress {
namespace {

std::mutex& session_mutex() {
  static std::mutex mutex;  // Gmsh keeps its state in globals of its own; this only queues for them
  return mutex;
}

/// Keeps what the process does on Ctrl-C across calls into Gmsh.
class InterruptGuard {
 public:
  InterruptGuard() { sigaction(SIGINT, nullptr, &before_); }
  ~InterruptGuard() { sigaction(SIGINT, &before_, nullptr); }
  InterruptGuard(const InterruptGuard&) = delete;
  InterruptGuard& operator=(const InterruptGuard&) = delete;

 private:
  struct sigaction before_ {};
};

/// The errors in Gmsh's log, joined; Gmsh's own exceptions often carry no text.
std::string logged_errors() {
  std::vector<std::string> log;
  gmsh::logger::get(log);
  std::string errors;
  for (const std::string& line : log)
    if (line.rfind("Error", 0) == 0) errors += (errors.empty() ? "" : "; ") + line;
  return errors.empty() ? "no reason logged" : errors;
}

}  // namespace

GmshSession::GmshSession() : turn_(session_mutex()), threads_before_(omp_get_max_threads()) {
  const InterruptGuard guard;
  gmsh::initialize(0, nullptr, /*readConfigFiles=*/false);
  gmsh::option::setNumber("General.Terminal", 0);
  gmsh::option::setNumber("General.NumThreads", 1);
  gmsh::option::setNumber("Mesh.MaxNumThreads1D", 1);
  gmsh::option::setNumber("Mesh.MaxNumThreads2D", 1);
  gmsh::option::setNumber("Mesh.MaxNumThreads3D", 1);
  gmsh::option::setNumber("Mesh.RandomSeed", 1);
  gmsh::logger::start();
  gmsh::model::add("setstress");
}

GmshSession::~GmshSession() {
  const InterruptGuard guard;
  gmsh::finalize();
  omp_set_num_threads(threads_before_);  // Gmsh sets its own for the whole process
}

void GmshSession::attempt(const std::string& deed, const std::function<void()>& work) const {
  const InterruptGuard guard;
  try {
    work();
  } catch (const GeometryError&) {
    throw;
  } catch (const std::exception& error) {
    throw MeshingError(fmt::format("Gmsh could not {}: {} ({})", deed, error.what(), logged_errors()));
  } catch (...) {
    throw MeshingError(fmt::format("Gmsh could not {}: {}", deed, logged_errors()));
  }
}

}  // namespace setstress
