#pragma once
// The one owner of Gmsh's process-wide session.

#include <csignal>
#include <functional>
#include <mutex>
#include <string>

namespace setstress {

/// Opens Gmsh with an empty model and closes it again: quiet, single-threaded and with fixed seeds, so that
/// the same solid gives the same mesh to the last bit. Sessions of other threads wait their turn. The
/// caller's handling of Ctrl-C and number of threads are left as they were.
class GmshSession {
 public:
  GmshSession();
  ~GmshSession();
  GmshSession(const GmshSession&) = delete;
  GmshSession& operator=(const GmshSession&) = delete;

  /// Does `work` and turns whatever Gmsh throws into a MeshingError that says what was being done
  /// (`deed`, as in "mesh the volumes") and what Gmsh logged. GeometryError and other exceptions of ours pass
  /// unchanged.
  void attempt(const std::string& deed, const std::function<void()>& work) const;

 private:
  std::unique_lock<std::mutex> turn_;
  int threads_before_;
};

}  // namespace setstress
