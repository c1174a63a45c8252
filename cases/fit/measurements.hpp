#pragma once
// Measured curves and what is to be found from them, as a user writes them down.

#include <filesystem>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "cases/fit/aged_bond.hpp"
#include "cases/fit/least_squares.hpp"
#include "cases/library/material_library.hpp"
#include "cases/reader/toml_reader.hpp"
#include "materials/composite.hpp"

namespace setstress {

/// What a curve tells of a composite, or of a bond.
enum class CurveKind { conversion, shrinkage, shrinkage_rate, modulus, stress, transmission, bond_strength };

struct Datum {
  double at;  ///< time since the light went on, or since the bond was cured [s]; of a transmission: thickness
              ///< [mm]
  double depth;      ///< of composite above the point [mm]
  double value;      ///< share [-], [1/s], [MPa]
  double error = 0;  ///< standard error of the value, in its unit; 0: not known
  double area = 0;   ///< of bond that is pulled [mm2]
};

struct MeasuredCurve {
  CurveKind kind;
  std::string name;         ///< the file's, without folder
  double irradiance = 0;    ///< at the lit surface, before reflection [mW/cm2]
  double lit = 0;           ///< from 0 to here [s]
  bool disc = false;        ///< what pulls at a frame is a disc bonded to plates, else a bar with free sides
  double height = 0;        ///< of what pulls at a frame [mm]
  double area = 0;          ///< of its section [mm2]
  double frame = 0;         ///< stiffness of the frame along the axis [N/mm]
  bool sheared = false;     ///< a bond is, else pulled
  std::vector<Datum> data;  ///< times do not fall at one depth, or area
  std::string basis = {}, source = {};  ///< what it rests on, in words; empty where not told
};

/// What constants are found of: a composite, or else a bond.
struct FittedMaterial {
  Composite composite{};
  std::optional<AgedBond> bond{};
};

/// A value of the class that is to be found.
struct SoughtConstant {
  std::string key;  ///< as below a class: "cure.rate"
  std::string unit;
  double start, low, high;
  std::function<double&(FittedMaterial&)> in;
  std::string place;  ///< file:line
  double error = 0;   ///< standard error with which `start` is known from elsewhere; 0: it is not known
};

struct Measurements {
  std::string name, title, base;  ///< of the new class; the class that it starts from
  std::string about;              ///< what the class stands for; empty: as the one it starts from
  bool invented = false;
  FittedMaterial start{};
  Provenance given;  ///< values of the class that are neither found nor those of `base`, by dotted key
  std::vector<MeasuredCurve> curves;
  std::vector<SoughtConstant> constants;
  Loss loss = Loss::huber;
  Section file{{}};  ///< they came from, for the place in messages
};

/// Reads a file of measurements and the tables beside it. Throws CaseError naming file, row and column.
Measurements read_measurements(const std::filesystem::path& file);

/// Refuses values that do not go together in one class. `section` gives the place. Throws CaseError.
void check_material(const FittedMaterial& material, const Section& section);

/// Name and unit of what a curve measures, as in its table and on charts.
std::string name_of(CurveKind kind);
std::string unit_of(CurveKind kind);

}  // namespace setstress
