// The library's classes that were fitted to published readings, against those readings.
#include <catch2/catch.hpp>
#include <cmath>

#include "cases/fit/predicted.hpp"
#include "cases/library/material_library.hpp"
#include "cases/reader/data_folder.hpp"

using namespace setstress;

namespace {

const char* any_class() {
  return GENERATE("conventional-paste", "flowable", "bulk-fill-paste", "bulk-fill-flowable");
}

Measurements measured(const std::string& name) {
  return read_measurements(material_library_file().parent_path() / "measured" / (name + ".toml"));
}

Composite anchored(const std::string& name) {
  return MaterialLibrary::load(material_library_file()).composite(name + "-anchored").values;
}

/// Huber's loss of one datum that is off by `r` of its errors (bend as in the fit).
double loss(double r) {
  return std::abs(r) < 1.345 ? 0.5 * r * r : 1.345 * (std::abs(r) - 0.5 * 1.345);
}

/// What the fit made least: data, and constants known before.
double cost(const Measurements& measurements, const Composite& composite) {
  FittedMaterial material{composite};
  double sum = 0;
  for (const MeasuredCurve& curve : measurements.curves) {
    const std::vector<double> law = predicted(composite, curve);
    for (std::size_t i = 0; i < law.size(); ++i)
      sum += loss((law[i] - curve.data[i].value) / curve.data[i].error);
  }
  for (const SoughtConstant& sought : measurements.constants)
    if (sought.error > 0) sum += loss((sought.in(material)-sought.start) / sought.error);
  return sum;
}

}  // namespace

TEST_CASE("fitted classes give the published readings within twice their errors", "[verification][fit]") {
  const std::string name = any_class();
  const Composite composite = anchored(name);
  for (const MeasuredCurve& curve : measured(name).curves) {
    const std::vector<double> law = predicted(composite, curve);
    for (std::size_t i = 0; i < law.size(); ++i) {
      CAPTURE(curve.name, curve.data[i].at, law[i], curve.data[i].value);
      CHECK(curve.data[i].error > 0);
      CHECK(std::abs(law[i] - curve.data[i].value) < 2 * curve.data[i].error);
    }
    CHECK_FALSE(curve.source.empty());
  }
}

TEST_CASE("no constant of a fitted class alone can bring it nearer to its readings", "[verification][fit]") {
  const std::string name = any_class();
  const Measurements measurements = measured(name);
  const Composite composite = anchored(name);
  const double least = cost(measurements, composite);
  for (const SoughtConstant& sought : measurements.constants)
    for (const double factor : {0.9, 1.1}) {
      FittedMaterial moved{composite};
      sought.in(moved) *= factor;
      CAPTURE(name, sought.key, factor);
      CHECK(cost(measurements, moved.composite) > least);
    }
}
