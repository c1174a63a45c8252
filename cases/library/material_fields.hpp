#pragma once
// Every number of a material class: its key in a material file, unit, range, and where it is kept.

#include <array>
#include <limits>

#include "cases/reader/toml_reader.hpp"
#include "materials/bond.hpp"
#include "materials/composite.hpp"
#include "materials/tissue.hpp"

namespace setstress {

template <typename Material>
struct Field {
  std::string_view group;  ///< inner table, "" for none
  std::string_view key;
  Quantity allowed;
  double& (*in)(Material&);
  bool optional = false;         ///< has a default in the law itself
  std::string_view unused = {};  ///< why no result depends on it; empty where one does
};

inline constexpr std::string_view not_compared = "no stress is compared with it";

inline constexpr std::string_view only_radiographs = "only radiographs show it";

inline constexpr double no_limit = std::numeric_limits<double>::infinity();
inline constexpr Quantity modulus_range{"MPa", 0, no_limit, true};
inline constexpr Quantity poisson_range{"-", -1, 0.5, true, true};
inline constexpr Quantity time_range{"s", 0, no_limit, true};
inline constexpr Quantity strength_range{"MPa", 0, no_limit, true};
inline constexpr Quantity energy_range{"N/mm", 0, no_limit, true};
inline constexpr Quantity radiopacity_range{"-", 0, no_limit, true};

inline constexpr std::array composite_fields{
    Field<Composite>{"light",
                     "reflection",
                     {"-", 0, 1, false, true},
                     [](Composite& c) -> double& { return c.light.reflection; }},
    Field<Composite>{"light",
                     "attenuation",
                     {"1/mm", 0, no_limit},
                     [](Composite& c) -> double& { return c.light.attenuation; }},
    Field<Composite>{
        "cure", "rate", {"1/s", 0, no_limit, true}, [](Composite& c) -> double& { return c.cure.rate; }},
    Field<Composite>{"cure",
                     "reference_irradiance",
                     {"mW/cm2", 0, no_limit, true},
                     [](Composite& c) -> double& { return c.cure.reference_irradiance; }},
    Field<Composite>{"cure",
                     "irradiance_exponent",
                     {"-", 0, 1},
                     [](Composite& c) -> double& { return c.cure.irradiance_exponent; }},
    Field<Composite>{
        "cure", "order_growth", {"-", 0, 2}, [](Composite& c) -> double& { return c.cure.order_growth; }},
    Field<Composite>{"cure",
                     "order_depletion",
                     {"-", 0, 4, true},
                     [](Composite& c) -> double& { return c.cure.order_depletion; }},
    Field<Composite>{
        "cure", "seed", {"-", 0, 0.1, true}, [](Composite& c) -> double& { return c.cure.seed; }},
    Field<Composite>{"cure",
                     "dark_time",
                     {"s", 0, no_limit, true},
                     [](Composite& c) -> double& { return c.cure.dark_time; }},
    Field<Composite>{"cure",
                     "dark_share",
                     {"-", 0, 1, true},
                     [](Composite& c) -> double& { return c.cure.dark_share; },
                     true},
    Field<Composite>{"cure",
                     "limit_exponent",
                     {"-", 0, 1},
                     [](Composite& c) -> double& { return c.cure.limit_exponent; },
                     true},
    Field<Composite>{
        "cure", "late_gain", {"-", 0, 1}, [](Composite& c) -> double& { return c.cure.late_gain; }, true},
    Field<Composite>{"cure", "late_time", time_range,
                     [](Composite& c) -> double& { return c.cure.late_time; }, true},
    Field<Composite>{"cure",
                     "limiting_conversion",
                     {"-", 0, 1, true},
                     [](Composite& c) -> double& { return c.cure.limiting_conversion; }},
    Field<Composite>{"stiffness", "youngs_modulus", modulus_range,
                     [](Composite& c) -> double& { return c.stiffness.final_modulus; }},
    Field<Composite>{"stiffness", "early_modulus", modulus_range,
                     [](Composite& c) -> double& { return c.stiffness.early_modulus; }, true},
    Field<Composite>{"stiffness", "rise_time", time_range,
                     [](Composite& c) -> double& { return c.stiffness.rise_time; }, true},
    Field<Composite>{"stiffness", "poisson_ratio", poisson_range,
                     [](Composite& c) -> double& { return c.stiffness.poisson_ratio; }},
    Field<Composite>{"stiffness",
                     "gel_point",
                     {"-", 0, 1, false, true},
                     [](Composite& c) -> double& { return c.stiffness.gel_point; }},
    Field<Composite>{
        "stiffness", "exponent", {"-", 0, 10}, [](Composite& c) -> double& { return c.stiffness.exponent; }},
    Field<Composite>{"stiffness",
                     "floor",
                     {"-", 0, 0.1, true},
                     [](Composite& c) -> double& { return c.stiffness.floor; },
                     true},
    Field<Composite>{"stiffness",
                     "unset_poisson_ratio",
                     {"-", 0, 0.5, true, true},
                     [](Composite& c) -> double& { return c.stiffness.unset_poisson_ratio; },
                     true},
    Field<Composite>{"flow",
                     "vitrification",
                     {"-", 0, 1, false, true},
                     [](Composite& c) -> double& { return c.flow.vitrification; },
                     true},
    Field<Composite>{
        "flow", "volume", {"-", 0, 1}, [](Composite& c) -> double& { return c.flow.volume; }, true},
    Field<Composite>{
        "flow", "share", {"-", 0, 1}, [](Composite& c) -> double& { return c.flow.branches[0].share; }, true},
    Field<Composite>{"flow", "time_soft", time_range,
                     [](Composite& c) -> double& { return c.flow.branches[0].time_soft; }, true},
    Field<Composite>{"flow", "time_set", time_range,
                     [](Composite& c) -> double& { return c.flow.branches[0].time_set; }, true},
    Field<Composite>{"flow",
                     "second_share",
                     {"-", 0, 1},
                     [](Composite& c) -> double& { return c.flow.branches[1].share; },
                     true},
    Field<Composite>{"flow", "second_time_soft", time_range,
                     [](Composite& c) -> double& { return c.flow.branches[1].time_soft; }, true},
    Field<Composite>{"flow", "second_time_set", time_range,
                     [](Composite& c) -> double& { return c.flow.branches[1].time_set; }, true},
    Field<Composite>{"",
                     "volumetric_shrinkage",
                     {"-", 0, 0.2},
                     [](Composite& c) -> double& { return c.volumetric_shrinkage; }},
    Field<Composite>{"", "tensile_strength", strength_range,
                     [](Composite& c) -> double& { return c.tensile_strength; }, false, not_compared},
    Field<Composite>{"",
                     "increment_depth",
                     {"mm", 0, no_limit, true},
                     [](Composite& c) -> double& { return c.increment_depth; },
                     true},
    Field<Composite>{"", "radiopacity", radiopacity_range,
                     [](Composite& c) -> double& { return c.radiopacity; }, true, only_radiographs}};

inline constexpr std::array elastic_fields{
    Field<Elastic>{"", "youngs_modulus", modulus_range,
                   [](Elastic& e) -> double& { return e.youngs_modulus; }},
    Field<Elastic>{"", "poisson_ratio", poisson_range, [](Elastic& e) -> double& { return e.poisson_ratio; }},
    Field<Elastic>{"", "tensile_strength", strength_range,
                   [](Elastic& e) -> double& { return e.tensile_strength; }, true, not_compared},
    Field<Elastic>{"", "radiopacity", radiopacity_range, [](Elastic& e) -> double& { return e.radiopacity; },
                   true, only_radiographs}};

inline constexpr std::array film_fields{
    Field<Adhesive>{"", "youngs_modulus", modulus_range,
                    [](Adhesive& a) -> double& { return a.youngs_modulus; }},
    Field<Adhesive>{"", "poisson_ratio", poisson_range,
                    [](Adhesive& a) -> double& { return a.poisson_ratio; }},
    Field<Adhesive>{
        "", "film_thickness", {"mm", 0, 1, true}, [](Adhesive& a) -> double& { return a.film_thickness; }},
    Field<Adhesive>{"",
                    "normal_stiffness",
                    {"MPa/mm", 0, no_limit, true},
                    [](Adhesive& a) -> double& { return a.normal_stiffness_override; },
                    true},
    Field<Adhesive>{"",
                    "shear_stiffness",
                    {"MPa/mm", 0, no_limit, true},
                    [](Adhesive& a) -> double& { return a.shear_stiffness_override; },
                    true}};

inline constexpr std::array strength_fields{
    Field<BondStrength>{"", "tensile", strength_range, [](BondStrength& b) -> double& { return b.tensile; }},
    Field<BondStrength>{"", "shear", strength_range, [](BondStrength& b) -> double& { return b.shear; }},
    Field<BondStrength>{"", "fracture_energy_opening", energy_range,
                        [](BondStrength& b) -> double& { return b.fracture_energy_opening; }},
    Field<BondStrength>{"", "fracture_energy_sliding", energy_range,
                        [](BondStrength& b) -> double& { return b.fracture_energy_sliding; }},
    Field<BondStrength>{"",
                        "weibull_modulus",
                        {"-", 1, 100},
                        [](BondStrength& b) -> double& { return b.weibull_modulus; },
                        true},
    Field<BondStrength>{"",
                        "stick_area",
                        {"mm2", 0, no_limit, true},
                        [](BondStrength& b) -> double& { return b.stick_area; },
                        true}};

}  // namespace setstress
