#pragma once
// Which instants of a run become files, and writing them.

#include <filesystem>
#include <memory>
#include <string>
#include <vector>

#include "cases/file/case.hpp"
#include "cases/run/background_work.hpp"
#include "solver/model/model.hpp"
#include "viz/files/vtk_files.hpp"

namespace setstress {

/// Instants between events at which a frame is wanted [s], sorted: evenly while the light is on, close
/// together and then further apart after it. With the events themselves about `most` or fewer.
std::vector<double> instants_between_events(const Timeline& timeline, int most);

/// A frame, and GapReport::gap_of_facet where gaps are followed.
struct FrameWithGaps {
  Frame frame;
  std::vector<int> gap_of_facet = {};
};

/// Writes frames into a result folder: every event, the wanted instants between, and the worst instant of
/// all. Files are written beside the run, in the background. The list of frames is rewritten after each one,
/// so what is there is readable at any time.
class FrameWriter {
 public:
  FrameWriter(const Model& model, const Case& input, std::filesystem::path folder);
  /// Offers a frame and how bad the bond is in it; the writer takes what it wants. Throws std::runtime_error
  /// when a file, of this frame or an earlier one, cannot be written.
  void offer(FrameWithGaps frame, std::pair<double, double> badness);
  /// Writes the last frame and the worst one where they were not wanted for another reason, and waits until
  /// all are written. Throws as `offer`.
  void finish();
  /// Spent in the background so far [s].
  [[nodiscard]] double background_seconds() { return background_.seconds(); }

 private:
  using KeptFrame = std::shared_ptr<const FrameWithGaps>;
  void write_beside(const KeptFrame& frame);
  void write(const FrameWithGaps& kept);  ///< in the background

  const Model& model_;
  FileLabels labels_;
  std::filesystem::path folder_;
  std::vector<double> wanted_;
  std::size_t next_wanted_ = 0;
  KeptFrame last_, worst_;  ///< not written yet
  std::pair<double, double> worst_badness_{0, 0};
  int written_ = 0;                          ///< by `write` alone
  std::vector<CollectionEntry> collection_;  ///< by `write` alone
  BackgroundWork background_{1};             ///< ends before what it writes from
};

}  // namespace setstress
