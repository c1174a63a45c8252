#include "materials/tissue.hpp"

#include <stdexcept>

namespace setstress {

std::string name_of(Substrate substrate) {
  switch (substrate) {
    case Substrate::enamel:
      return "enamel";
    case Substrate::coronal_dentin:
      return "coronal dentin";
    case Substrate::middle_dentin:
      return "middle dentin";
    case Substrate::cervical_dentin:
      return "cervical dentin";
    case Substrate::radicular_dentin:
      return "radicular dentin";
    case Substrate::fixture:
      return "fixture";
  }
  throw std::logic_error("a substrate without a name");
}

Substrate DentinBands::at(double z) const {
  if (!(coronal_from > middle_from && middle_from > cervical_from)) {
    throw std::invalid_argument(
        "the dentin bands must fall from coronal to middle to cervical [mm above the CEJ]");
  }
  if (z >= coronal_from) return Substrate::coronal_dentin;
  if (z >= middle_from) return Substrate::middle_dentin;
  if (z >= cervical_from) return Substrate::cervical_dentin;
  if (z < cervical_from) return Substrate::radicular_dentin;
  throw std::invalid_argument("the height above the CEJ is not a number [mm]");
}

}  // namespace setstress
