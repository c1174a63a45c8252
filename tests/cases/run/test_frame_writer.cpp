#include <catch2/catch.hpp>

#include "cases/run/frame_writer.hpp"

using namespace setstress;

TEST_CASE("instants for files are bounded in number, sorted, and fall into light and dark alike", "[cases]") {
  const int exposures = GENERATE(1, 2, 4, 12);
  Timeline timeline;
  timeline.end = 60.0 * exposures + 600.0;
  for (int e = 0; e < exposures; ++e) {
    timeline.placements.push_back({e, 60.0 * e + 20.0});
    timeline.exposures.push_back({60.0 * e + 25.0, 20.0, 1000.0, {0, 0, -1}});
  }
  const std::vector<double> instants = instants_between_events(timeline, 40);
  const auto events = static_cast<std::size_t>(3 * exposures + 2);
  CHECK(instants.size() + events <=
        std::max<std::size_t>(40, events + 2 * static_cast<std::size_t>(exposures)));
  CHECK(std::is_sorted(instants.begin(), instants.end()));
  for (const Exposure& light : timeline.exposures)
    CHECK(std::any_of(instants.begin(), instants.end(),
                      [&](double t) { return t > light.start && t < light.start + light.duration; }));
  CHECK(instants.back() < timeline.end);
}
