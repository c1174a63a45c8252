#include "cases/run/frame_writer.hpp"

#include <algorithm>
#include <cmath>

#include "viz/files/result_reader.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

namespace {

constexpr int most_frames = 40;

FileLabels labels_of(const Model& model, const Case& input) {
  FileLabels labels{.title = input.title, .materials = {}, .substrates = model.substrates};
  for (const RegionMaterial& law : model.materials) {
    if (const auto* elastic = std::get_if<Elastic>(&law)) labels.materials.push_back(elastic->name);
    if (const auto* composite = std::get_if<Composite>(&law)) labels.materials.push_back(composite->name);
    if (std::holds_alternative<BandedDentin>(law)) labels.materials.push_back("dentin by level");
  }
  return labels;
}

}  // namespace

std::vector<double> instants_between_events(const Timeline& timeline, int most) {
  std::vector<double> instants = timeline.extra_frames;
  const int exposures = static_cast<int>(timeline.exposures.size());
  if (exposures == 0) {
    for (int k = 1; k < 10; ++k) instants.push_back(timeline.end * k / 10.0);
  } else {
    const int events = static_cast<int>(timeline.placements.size()) + 2 * exposures + 2;
    const int each = std::clamp((most - events) / (2 * exposures), 1, 8);
    for (std::size_t e = 0; e < timeline.exposures.size(); ++e) {
      const Exposure& light = timeline.exposures[e];
      const double off = light.start + light.duration;
      const double next = e + 1 < timeline.exposures.size() ? timeline.exposures[e + 1].start : timeline.end;
      for (int k = 1; k <= each; ++k) {
        instants.push_back(light.start + light.duration * k / (each + 1.0));
        instants.push_back(off + (next - off) * (std::pow(2.0, k) - 1.0) / (std::pow(2.0, each + 1) - 1.0));
      }
    }
  }
  std::sort(instants.begin(), instants.end());
  return instants;
}

FrameWriter::FrameWriter(const Model& model, const Case& input, std::filesystem::path folder)
    : model_(model),
      labels_(labels_of(model, input)),
      folder_(std::move(folder)),
      wanted_(instants_between_events(model.timeline, most_frames)) {
  make_folders(folder_ / ResultLayout::frames);
}

void FrameWriter::offer(FrameWithGaps frame, std::pair<double, double> badness) {
  const auto kept = std::make_shared<const FrameWithGaps>(std::move(frame));
  bool wanted = !kept->frame.event.empty();
  for (; next_wanted_ < wanted_.size() && wanted_[next_wanted_] <= kept->frame.time; ++next_wanted_)
    wanted = true;
  if (badness > worst_badness_) {
    worst_badness_ = badness;
    worst_ = wanted ? nullptr : kept;
  }
  last_ = wanted ? nullptr : kept;
  if (wanted) write_beside(kept);
}

void FrameWriter::write_beside(const KeptFrame& frame) {
  background_.add([this, frame] { write(*frame); });
}

void FrameWriter::write(const FrameWithGaps& kept) {
  const Frame& frame = kept.frame;
  const auto volume = ResultLayout::volume_file(written_);
  write_volume(model_.mesh, frame, labels_, folder_ / volume);
  collection_.push_back({frame.time, volume, 0});
  if (!model_.mesh.bond.empty()) {
    const auto bond = ResultLayout::bond_file(written_);
    write_bond(model_.mesh, frame, labels_, folder_ / bond, kept.gap_of_facet);
    collection_.push_back({frame.time, bond, 1});
  }
  ++written_;
  std::stable_sort(collection_.begin(), collection_.end(),
                   [](const CollectionEntry& a, const CollectionEntry& b) { return a.time < b.time; });
  write_collection(collection_, folder_ / ResultLayout::collection);
}

void FrameWriter::finish() {
  if (worst_ && worst_ != last_) write_beside(worst_);
  if (last_) write_beside(last_);
  background_.finish();
}

}  // namespace setstress
