#pragma once
// [plan] of a case file: increments, waits and light, turned into cutting planes and instants.

#include "cases/file/case.hpp"
#include "cases/file/read_geometry.hpp"

namespace setstress {

/// `default_material` is the class of increments that do not name one. Throws CaseError; GeometryError from
/// layouts.
Plan read_plan(const Section& plan, const FillingExtent& extent, const std::string& default_material);

}  // namespace setstress
