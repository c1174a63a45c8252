// The one-file page: what is packed comes back, what is left out is said, and half a result is refused.

#include <zlib.h>

#include <Eigen/Geometry>
#include <catch2/catch.hpp>
#include <fstream>
#include <iterator>
#include <limits>
#include <nlohmann/json.hpp>

#include "tests/scratch_folder.hpp"
#include "tests/viz/box_mesh.hpp"
#include "viz/drawing/scale.hpp"
#include "viz/files/write_file.hpp"
#include "viz/page/page.hpp"
#include "viz/page/page_pack.hpp"
#include "viz/page/page_result.hpp"

using namespace setstress;
using Catch::Matchers::Contains;
using Catch::Matchers::WithinAbs;

namespace page {
namespace {

std::string unpacked(const std::string& base64) {
  static const std::string digits = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
  std::string zipped;
  unsigned group = 0, bits = 0;
  for (const char c : base64) {
    if (c == '=') break;
    group = group << 6 | static_cast<unsigned>(digits.find(c));
    bits += 6;
    if (bits < 8) continue;
    bits -= 8;
    zipped += static_cast<char>(group >> bits & 255);
  }
  std::string text(1 << 22, '\0');
  uLongf size = text.size();
  REQUIRE(uncompress(reinterpret_cast<Bytef*>(text.data()), &size,
                     reinterpret_cast<const Bytef*>(zipped.data()), zipped.size()) == Z_OK);
  text.resize(size);
  return text;
}

/// Two instants, the second increment placed in the later one; displacement and conversion known.
void write_box_result(const std::filesystem::path& folder, const std::string& version) {
  const Mesh mesh = box_mesh();
  std::vector<CollectionEntry> entries;
  for (int i = 0; i < 2; ++i) {
    Frame frame = blank_frame(mesh);
    frame.time = 20.0 + 40 * i;
    frame.event = i == 0 ? "increment 1 placed" : "end";
    frame.placed[2] = static_cast<char>(i);
    for (std::size_t n = 0; n < mesh.nodes.size(); ++n)
      frame.displacement.segment<3>(3 * static_cast<Eigen::Index>(n)) = 1e-3 * (i + 1) * mesh.nodes[n];
    for (auto& points : frame.conversion) points.fill(0.25 * (i + 1));
    write_volume(mesh, frame, box_labels(mesh), folder / ResultLayout::volume_file(i));
    write_bond(mesh, frame, box_labels(mesh), folder / ResultLayout::bond_file(i));
    entries.push_back({frame.time, ResultLayout::volume_file(i), 0});
    entries.push_back({frame.time, ResultLayout::bond_file(i), 1});
  }
  write_collection(entries, folder / ResultLayout::collection);
  write_file(folder / ResultLayout::walls, "time_s,event,wall\n20,\"increment 1 placed\",floor\n");
  write_file(folder / ResultLayout::summary, R"({"title": "box </script> in a block", "bond": []})");
  write_file(folder / ResultLayout::manifest, R"({"program": "setstress", "version": ")" + version + "\"}");
}

/// Of the surface triangles of an increment, 0 for the tooth [mm2].
double surface_area(const viz::PageResult& page, int increment) {
  double area = 0;
  for (const auto& [a, b, c] : page.triangles) {
    const auto at = [&](int point) { return page.points[static_cast<std::size_t>(point)]; };
    const auto region = static_cast<std::size_t>(page.region_of_point[static_cast<std::size_t>(a)]);
    if (page.increment_of_region[region] == increment)
      area += (at(b) - at(a)).cross(at(c) - at(a)).norm() / 2;
  }
  return area;
}

const viz::Series& series_of(const viz::PageResult& page, const std::string& name) {
  for (const viz::Series& series : page.series)
    if (series.name == name) return series;
  throw std::runtime_error("no series " + name);
}

PageOptions options_for(const ScratchFolder& scratch) {
  return {.results = {scratch / "box"},
          .out = scratch / "page.html",
          .page_template = scratch / "template.html",
          .comparison = R"({"pairs": []})"};
}

}  // namespace

TEST_CASE("packed numbers come back", "[viz][page]") {
  viz::Bytes bytes;
  const std::vector<std::uint8_t> small{7, 0, 255};
  const std::vector<std::uint16_t> before{10, 65535}, values{300, 2};
  const std::vector<int> indices{5, 70000, 1};
  bytes.add(small);
  bytes.add_changes(values, before);
  bytes.add_indices(indices);
  const std::string text = unpacked(bytes.packed());
  REQUIRE(text.size() == 3 + 4 + 12);
  const auto byte = [&](std::size_t at) {
    return static_cast<unsigned>(static_cast<unsigned char>(text[at]));
  };
  CHECK(byte(0) == 7);
  CHECK(byte(2) == 255);
  CHECK((10 + byte(3) + 256 * byte(5)) % 65536 == 300);
  CHECK((65535 + byte(4) + 256 * byte(6)) % 65536 == 2);
  unsigned index = 0;
  for (std::size_t i = 0; i < indices.size(); ++i) {
    for (std::size_t weight = 0; weight < 4; ++weight) index += byte(7 + 3 * weight + i) << 8 * weight;
    CHECK(index == static_cast<unsigned>(indices[i]));
  }
  CHECK(unpacked(viz::packed_text("floor,1.5\n")) == "floor,1.5\n");
  CHECK(unpacked(viz::packed_text("floor,1.52\n")) == "floor,1.52\n");
  CHECK(unpacked(viz::packed_text("floor,1.523\n")) == "floor,1.523\n");
}

TEST_CASE("quantised values are off by half a step at most", "[viz][page]") {
  const std::vector<float> values{-2, -0.123F, 0, 0.777F, 6};
  const auto numbers = viz::quantised(values, -2, 6, 4095);
  for (std::size_t i = 0; i < values.size(); ++i)
    CHECK_THAT(-2 + 8.0 / 4095 * numbers[i], WithinAbs(values[i], 4.0001 / 4095));
  CHECK(viz::quantised(std::vector<float>{3, 3}, 3, 3, 4095) == std::vector<std::uint16_t>{0, 0});
  CHECK_THROWS_WITH(viz::quantised(std::vector<float>{std::numeric_limits<float>::quiet_NaN()}, 0, 1, 4095),
                    Contains("not a finite number"));
}

TEST_CASE("a result is gathered with its surfaces and with values on their points", "[viz][page]") {
  const ScratchFolder scratch;
  write_box_result(scratch / "box", "1");
  const bool all_fits = GENERATE(true, false);
  CAPTURE(all_fits);
  const viz::PageResult page = viz::gather(read_result(scratch / "box"), all_fits ? 1'000'000 : 1);
  CHECK(page.left_out.size() == (all_fits ? 0 : 3));  // interior, bond triangles, instants
  CHECK(page.bond_triangles.size() == (all_fits ? 256 : 64));
  CHECK(page.tetrahedra.empty() != all_fits);
  // The block's 128 mm2 lose the open sides of the box (20) and gain its walls (32).
  CHECK_THAT(surface_area(page, 0), WithinAbs(140, 1e-4));
  CHECK_THAT(surface_area(page, 1), WithinAbs(28, 1e-4));  // 2 x 4 x 1 mm
  CHECK_THAT(surface_area(page, 2), WithinAbs(40, 1e-4));  // 2 x 4 x 2 mm
  REQUIRE(page.instants.size() == 2);
  CHECK(page.instants[0].placed == std::vector<char>{1, 1, 0});
  CHECK(page.instants[1].event == "end");
  const auto& displacement = series_of(page, "body.displacement").by_frame;
  const auto& conversion = series_of(page, "body.conversion").by_frame;
  REQUIRE(conversion[0].size() == page.points.size());
  for (std::size_t p = 0; p < page.points.size(); ++p) {
    const bool early = page.region_of_point[p] != 2;  // increment 2 comes with the second instant
    CHECK_THAT(conversion[0][p], WithinAbs(early ? 0.25 : 0, 1e-6));
    CHECK_THAT(conversion[1][p], WithinAbs(0.5, 1e-6));
    CHECK_THAT(displacement[0][3 * p + 1], WithinAbs(early ? 1e-3 * page.points[p].y() : 0, 1e-8));
    CHECK_THAT(displacement[1][3 * p + 2], WithinAbs(2e-3 * page.points[p].z(), 1e-8));
  }
}

TEST_CASE("the page holds the results as JSON that cannot end its script element", "[viz][page]") {
  const ScratchFolder scratch;
  write_box_result(scratch / "box", "1");
  write_file(scratch / "template.html", "<script>@SETSTRESS_DATA@</script>");
  write_page(options_for(scratch));
  std::ifstream stream(scratch / "page.html");
  const std::string page{std::istreambuf_iterator<char>(stream), {}};
  const std::size_t start = page.find('{'), end = page.find("</script>");
  REQUIRE(end == page.size() - 9);
  const auto data = nlohmann::json::parse(page.substr(start, end - start));
  CHECK(data["results"][0]["summary"]["title"] == "box </script> in a block");
  CHECK(data["results"][0]["instants"][1]["time_s"] == 60.0);
  CHECK(data["comparison"]["pairs"].empty());
  const auto& scales = data["scales"];  // names, ends and colours of the pictures
  CHECK(scales["ratio"]["top"] == 2);
  CHECK(scales["ratio"]["colours"][128] == hex(ratio_colour(1 + 0.5 / 128, 2)));
  CHECK(scales["gap"]["colours"][255] == hex(viz::gap_scale(4).colour(4 * 255.5 / 256)));
  CHECK(scales["stress"]["quantity"] == viz::stress_scale(1).quantity);
  CHECK(scales["stress"]["pressed"].back() == hex(viz::stress_scale(40).colour(-3)));
  CHECK_THAT(data["caution"].get<std::string>(), Contains("not a medical device"));
  CHECK_THAT(unpacked(data["results"][0]["walls_csv"]), Contains("increment 1 placed"));
}

TEST_CASE("a page of what is not whole or does not belong together is refused in a sentence", "[viz][page]") {
  const ScratchFolder scratch;
  write_box_result(scratch / "box", "1");
  write_box_result(scratch / "other", "2");
  write_file(scratch / "template.html", "@SETSTRESS_DATA@");
  PageOptions options = options_for(scratch);
  options.results = {scratch / "box", scratch / "other"};
  CHECK_THROWS_WITH(write_page(options), Contains("different versions of setstress (1, 2)"));
  options.results.assign(5, scratch / "box");
  CHECK_THROWS_WITH(write_page(options), Contains("one to four results; 5 were given"));
  options.results = {scratch / "box"};
  options.page_template = scratch / "box" / ResultLayout::walls;
  CHECK_THROWS_WITH(write_page(options), Contains("is not a template of the page"));
  options.page_template = scratch / "template.html";
  std::filesystem::remove(scratch / "box" / ResultLayout::bond_file(1));
  CHECK_THROWS_WITH(write_page(options), Contains("bond_0001.vtp") && Contains("no such file"));
  std::filesystem::remove(scratch / "box" / ResultLayout::summary);
  CHECK_THROWS_WITH(write_page(options), Contains("not a whole result") && Contains("summary.json"));
  CHECK_FALSE(std::filesystem::exists(scratch / "page.html"));
}

}  // namespace page
