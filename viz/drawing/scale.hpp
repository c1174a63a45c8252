#pragma once
// Private to viz/: the scales of pictures, films and page. Each quantity has its own colours, name and unit:
// one meaning a scale.

#include <array>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "viz/drawing/bond_field.hpp"
#include "viz/drawing/colours.hpp"

namespace setstress::viz {

struct Scale {
  std::string key;             ///< by which the page knows it
  std::string quantity, unit;  ///< the unit is empty for plain numbers
  std::string note;            ///< what it means, in small print
  double low, top;             ///< ends
  bool open_ended;             ///< values above `top` occur
  std::optional<double> mark;  ///< value with a meaning of its own
  std::string mark_text;
  std::string line;        ///< what the line in pictures is; empty where there is none to explain
  std::string below_zero;  ///< what values below zero mean; empty where there are none
  std::function<Colour(double)> colour;
  [[nodiscard]] std::string name() const;  ///< the quantity with its unit
};

/// Where the scale of stress-to-strength ratios ends unless asked otherwise: pages and pictures can be
/// compared.
constexpr double ratio_top = 2;
Scale ratio_scale(double top = ratio_top);
Scale strength_lost_scale();           ///< [%]
Scale gap_scale(double top);           ///< [um]
Scale stress_scale(double top);        ///< [MPa]
Scale pull_scale(double top);          ///< normal traction [MPa]
Scale shear_scale(double top);         ///< [MPa]
Scale displacement_scale(double top);  ///< [um]
Scale conversion_scale();              ///< [%]

/// The scale of a quantity on the bond that ends at `top`.
Scale scale_of(BondField field, double top);
/// Its array in the files of the bond, and what turns the array's unit into the scale's.
struct FieldSource {
  const char* array;
  double factor;
};
FieldSource source_of(BondField field);

/// Where scales may end, within a decade: numbers whose quarters are short.
inline constexpr std::array<double, 9> round_ends{1, 1.2, 1.6, 2, 2.4, 3, 4, 6, 8};
/// The next of them up, of any decade; `high` > 0.
double round_up(double high);
/// Round values at which a scale is labelled, both ends among them.
std::vector<double> ticks_of(const Scale& scale);
/// "1.5 or more"
std::string tick_text(const Scale& scale, double value);

}  // namespace setstress::viz
