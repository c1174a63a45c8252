#pragma once
// A whole run for the benchmark.

#include "solver/model/model.hpp"

namespace setstress::bench {

/// Two increments, each lit 5 s after it is placed. Invented composite and adhesive; in debonding mode the
/// bond is weak enough to let go over part of the floor.
Model benchmark_model(const Mesh& mesh);

}  // namespace setstress::bench
