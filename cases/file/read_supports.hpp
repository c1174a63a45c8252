#pragma once
// [support], [[hold]], [frame] and [[pressure]] of a case file: what holds and loads the body.

#include "cases/file/case.hpp"

namespace setstress {

/// Throws CaseError. Surface names are checked against the mesh by pose().
Supports read_supports(const Section& root, const Geometry& geometry);

}  // namespace setstress
