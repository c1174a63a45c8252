#pragma once
// The timeline as the time stepping needs it: instants at which something happens, in order.

#include <string>
#include <vector>

#include "solver/model/model.hpp"

namespace setstress {

/// One instant that a step must hit.
struct Event {
  double time;                  ///< [s]
  std::vector<int> placements;  ///< increments laid down now
  std::vector<Exposure> lit;    ///< exposures that are on from now until the next event
  double longest_step;          ///< from now until the next event [s]; infinite: no matter
  std::string label;            ///< "increment 1 placed, light on", "light off", "end", "" for a plain frame
};

/// Events by time; the first at t = 0, the last at the end.
std::vector<Event> schedule(const Timeline& timeline);

/// From one event to the next [s], to the nanosecond, so that a plan that is moved in time as a whole takes
/// the same steps to the last bit.
double interval(double from, double to);

/// Share of the run's work that lies before `time` [-], estimated: most steps fall into and shortly after
/// exposures.
double share_of_work(const Timeline& timeline, double time);

}  // namespace setstress
