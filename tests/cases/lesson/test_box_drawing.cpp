#include <catch2/catch.hpp>

#include "cases/lesson/box_drawing.hpp"

using namespace setstress;
using Catch::Contains;

TEST_CASE("the drawing of a box is to scale and names its walls", "[lesson]") {
  ToothCase tooth;
  tooth.preparation.taper = 0;
  tooth.preparation.width = 5;
  const std::string drawing = box_drawing(tooth);
  for (const char* name : {"floor", "axial wall", "buccal wall", "lingual wall", "open side", "enamel"})
    CHECK_THAT(drawing, Contains(name));
  // 5 mm of floor between upright walls, in the middle of a tooth 9 mm wide, at 20 to the mm.
  CHECK_THAT(drawing, Contains("x1=\"54.0\"") && Contains("x2=\"154.0\""));
  tooth.preparation.kind = Preparation::Kind::cylinder;
  CHECK_THROWS_WITH(box_drawing(tooth), Contains("only a proximal box"));
}
