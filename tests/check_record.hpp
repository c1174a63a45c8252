#pragma once
// A check against a published or derived result, kept for the report (tests/report.sh): what was compared,
// where the target comes from, and how close the program came.

#include <string>
#include <vector>

namespace setstress::testing {

/// One computed number held against its target.
struct Comparison {
  enum class Bound { relative, absolute, at_least, at_most };
  std::string what;      ///< "radial tension, film 10,000 MPa/mm"
  std::string unit;      ///< "MPa", "-", ...
  double target;         ///< what is published or follows from the formula; the limit of a bound
  double computed;       ///< what the program found
  double tolerance = 0;  ///< share of the target [-], or a difference in `unit`; not used by bounds
  Bound bound = Bound::relative;

  /// (computed - target) / |target| [-] where the bound is relative, else computed - target [unit].
  [[nodiscard]] double error() const;
  [[nodiscard]] bool holds() const;
};

Comparison within_share(std::string what, std::string unit, double target, double computed, double share);
Comparison within(std::string what, std::string unit, double target, double computed, double difference);
Comparison at_least(std::string what, std::string unit, double limit, double computed);
Comparison at_most(std::string what, std::string unit, double limit, double computed);

/// One line or set of points of a plot.
struct Series {
  enum class Style { line, points };
  std::string label;  ///< "Volkersen", "computed"
  Style style;
  std::vector<double> x, y;  ///< of equal length
};

/// A plot in which a computed curve is compared with a published or derived one.
struct Curve {
  std::string x_label, y_label;  ///< with units
  std::vector<Series> series;
  bool logarithmic_x = false, logarithmic_y = false;
};

/// A check as it stands in the report.
struct Check {
  std::string chapter;  ///< "Closed solutions", "Published trends", ...: one of those in tests/report, or new
  std::string title;    ///< the fact, in a short line; unique within its chapter
  std::string source;  ///< author year journal doi; or "derived", "common practice, no source", "from memory"
  std::string formula;            ///< or what the paper found, in words
  std::string mesh;               ///< element sizes, unknowns
  std::string tolerance_because;  ///< one line
  std::vector<Comparison> comparisons;
  std::vector<Curve> curves = {};
  std::string verdict = {};  ///< where program and paper disagree, or what the reader should know
};

/// Writes `check` as one JSON file into the folder named by the environment variable SETSTRESS_CHECKS;
/// nothing when it is not set. The file appears whole or not at all. Throws std::runtime_error when it cannot
/// be written and std::invalid_argument for a check without chapter, title, source or comparisons, or with a
/// curve whose x and y differ in length.
void record(const Check& check);

/// record(), then a Catch2 CHECK of every comparison.
void verify(const Check& check);

}  // namespace setstress::testing
