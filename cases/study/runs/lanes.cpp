#include "cases/study/runs/lanes.hpp"

namespace setstress {

int lanes_from(const std::string& word) {
  return word.empty() ? usual_lanes : word == "off" ? 0 : std::stoi(word);
}

int narrowest_lanes(std::size_t runs) {
  return runs <= 8 ? 8 : runs <= 16 ? 16 : 32;
}

}  // namespace setstress
