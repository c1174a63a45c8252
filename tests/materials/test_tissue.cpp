#include <catch2/catch.hpp>
#include <cmath>

#include "materials/tissue.hpp"

using namespace setstress;

TEST_CASE("dentin bands by height above the CEJ", "[verification]") {
  const DentinBands bands;
  CHECK(bands.at(5) == Substrate::coronal_dentin);
  CHECK(bands.at(3) == Substrate::coronal_dentin);
  CHECK(bands.at(2.999) == Substrate::middle_dentin);
  CHECK(bands.at(0) == Substrate::cervical_dentin);
  CHECK(bands.at(-1) == Substrate::cervical_dentin);
  CHECK(bands.at(-1.001) == Substrate::radicular_dentin);
  CHECK(DentinBands{.coronal_from = 6, .middle_from = 4, .cervical_from = 2}.at(3) ==
        Substrate::cervical_dentin);
}

TEST_CASE("dentin bands out of order and heights that are no number are refused", "[errors]") {
  CHECK_THROWS_WITH((DentinBands{.coronal_from = 1, .middle_from = 2, .cervical_from = 0}.at(0)),
                    Catch::Contains("must fall from coronal to middle to cervical"));
  CHECK_THROWS_AS(DentinBands{}.at(std::nan("")), std::invalid_argument);
}

TEST_CASE("every substrate has its own name") {
  CHECK(name_of(Substrate::enamel) == "enamel");
  CHECK(name_of(Substrate::radicular_dentin) == "radicular dentin");
  for (const Substrate one : all_substrates) {
    for (const Substrate other : all_substrates) CHECK((one == other) == (name_of(one) == name_of(other)));
  }
}
