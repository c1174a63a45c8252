#pragma once
// A fit as a material file, numbers, words, charts and a page.

#include <nlohmann/json_fwd.hpp>
#include <string>
#include <vector>

#include "cases/fit/fit.hpp"
#include "viz/charts/chart.hpp"

namespace setstress {

/// A class in the library's own form that builds on the one it started from; errors, correlations and what it
/// was fitted to as sources and comments.
std::string material_file(const Measurements& measurements, const Fit& fit);

nlohmann::ordered_json fit_json(const Measurements& measurements, const Fit& fit);

/// Table of constants, scatter by curve, warnings.
std::string fit_text(const Measurements& measurements, const Fit& fit);

/// What is not fixed and what was invented, a sentence each; empty where there is nothing.
std::vector<std::string> fit_warnings(const Measurements& measurements, const Fit& fit);

/// Data and law of curve `k`; and what is left between them.
Chart curve_chart(const Measurements& measurements, const Fit& fit, std::size_t k);
Chart residual_chart(const Measurements& measurements, const Fit& fit, std::size_t k);

/// All of it in one HTML file.
std::string fit_page(const Measurements& measurements, const Fit& fit);

}  // namespace setstress
