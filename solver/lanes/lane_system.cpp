#include "solver/lanes/lane_system.hpp"

#include <cstring>
#include <fstream>
#include <stdexcept>
#include <string>

namespace setstress {

namespace {

constexpr char magic[] = "setstress lane system 2\n";
constexpr double byte_order = 1.2345678901234567;  // reads otherwise where numbers are kept otherwise

/// Calls with every array, in the order of the file.
template <typename System, typename Call>
void for_arrays(System& system, const Call& call) {
  for (auto* rows : {&system.mesh.rows, &system.mesh.tissue}) {
    call(rows->start);
    call(rows->later);
    call(rows->column);
  }
  call(system.mesh.run_start);
  auto& corners = system.mesh.corners;
  call(corners.node);
  call(corners.child_start);
  call(corners.child);
  call(corners.weight);
  call(corners.parent_start);
  call(corners.parent);
  call(corners.parent_weight);
  call(system.mesh.element);
  call(system.mesh.element_shape);
  call(system.mesh.facet);
  call(system.mesh.facet_shape);
  call(system.equations.tissue_value);
  call(system.equations.free);
  call(system.equations.elements);
  call(system.equations.facets);
  call(system.sweeps.value);
  call(system.sweeps.inverse);
  auto& factor = system.factor;
  call(factor.first_column);
  call(factor.row_start);
  call(factor.value_start);
  call(factor.row);
  call(factor.unknown);
  call(factor.scale);
  call(factor.value);
  for (std::size_t lane = 0; lane < system.right.size(); ++lane) {
    call(system.moduli[lane]);
    call(system.bond[lane]);
    call(system.right[lane]);
  }
}

template <typename T>
void put(std::ofstream& out, const T* numbers, std::size_t count) {
  out.write(reinterpret_cast<const char*>(numbers), static_cast<std::streamsize>(count * sizeof(T)));
}

class Reader {
 public:
  explicit Reader(const std::filesystem::path& file) : file_(file), in_(file, std::ios::binary) {
    if (!in_) fail("it cannot be read");
    left_ = std::filesystem::file_size(file);
  }
  [[noreturn]] void fail(const std::string& what) const {
    throw std::runtime_error("lane system " + file_.string() + ": " + what);
  }
  template <typename T>
  void get(T* numbers, std::size_t count) {
    if (count > left_ / sizeof(T)) fail("it ends too early, or a length in it is wrong");
    in_.read(reinterpret_cast<char*>(numbers), static_cast<std::streamsize>(count * sizeof(T)));
    if (!in_) fail("it cannot be read to its end");
    left_ -= count * sizeof(T);
  }
  template <typename T>
  void get(std::vector<T>& numbers) {
    std::uint64_t count = 0;
    get(&count, 1);
    if (count > left_ / sizeof(T)) fail("it ends too early, or a length in it is wrong");
    numbers.resize(count);
    get(numbers.data(), numbers.size());
  }
  [[nodiscard]] std::uintmax_t left() const { return left_; }

 private:
  std::filesystem::path file_;
  std::ifstream in_;
  std::uintmax_t left_ = 0;
};

/// That no index leads out of what it points into.
void require_fits(const LaneSystem& system, const Reader& reader) {
  const LaneMesh& mesh = system.mesh;
  const auto nodes = static_cast<std::size_t>(mesh.nodes);
  const auto require = [&](bool fits, const char* what) {
    if (!fits) reader.fail(std::string(what) + " do not fit its other numbers");
  };
  const auto within = [](const std::vector<std::int32_t>& indices, std::size_t count) {
    for (const std::int32_t i : indices)
      if (i < 0 || static_cast<std::size_t>(i) >= count) return false;
    return true;
  };
  const auto climbs = [](const auto& start, std::size_t things, std::size_t to) {
    if (start.size() != things + 1 || start.front() != 0 || static_cast<std::size_t>(start.back()) != to)
      return false;
    for (std::size_t i = 0; i < things; ++i)
      if (start[i + 1] < start[i]) return false;
    return true;
  };
  for (const LaneRows* rows : {&mesh.rows, &mesh.tissue}) {
    require(climbs(rows->start, nodes, rows->column.size()) && within(rows->column, nodes) &&
                rows->later.size() == nodes,
            "rows");
    for (std::size_t row = 0; row < nodes; ++row)
      require(rows->later[row] >= rows->start[row] && rows->later[row] <= rows->start[row + 1], "rows");
  }
  require(!mesh.run_start.empty() && climbs(mesh.run_start, mesh.run_start.size() - 1, nodes),
          "runs of rows");
  const LaneCorners& corners = mesh.corners;
  const std::size_t unknowns = 3 * corners.node.size();
  require(within(corners.node, nodes) && within(corners.child, nodes) &&
              within(corners.parent, corners.node.size()) &&
              climbs(corners.child_start, corners.node.size(), corners.child.size()) &&
              climbs(corners.parent_start, nodes, corners.parent.size()) &&
              corners.weight.size() == corners.child.size() &&
              corners.parent_weight.size() == corners.parent.size(),
          "corners");
  for (const auto& element : mesh.element)
    require(within({element.begin(), element.end()}, nodes), "elements");
  for (const auto& facet : mesh.facet) require(within({facet.begin(), facet.end()}, nodes), "facets");
  require(mesh.element_shape.size() == mesh.element.size() && mesh.facet_shape.size() == mesh.facet.size() &&
              within(system.equations.elements, mesh.element.size()) &&
              within(system.equations.facets, mesh.facet.size()),
          "elements or facets");
  require(system.equations.tissue_value.size() == 9 * mesh.tissue.column.size() &&
              system.equations.free.size() == 3 * nodes &&
              system.sweeps.value.size() == 9 * mesh.rows.column.size() &&
              system.sweeps.inverse.size() == 9 * nodes,
          "matrices");
  const LaneFactor& factor = system.factor;
  const std::size_t supernodes = factor.first_column.empty() ? 0 : factor.first_column.size() - 1;
  require(supernodes > 0 && climbs(factor.first_column, supernodes, unknowns) &&
              climbs(factor.row_start, supernodes, factor.row.size()) &&
              climbs(factor.value_start, supernodes, factor.value.size()) && within(factor.row, unknowns) &&
              within(factor.unknown, unknowns) && factor.unknown.size() == unknowns &&
              factor.scale.size() == unknowns,
          "the factor's numbers");
  for (std::size_t s = 0; s < supernodes; ++s) {
    const auto columns = factor.first_column[s + 1] - factor.first_column[s],
               rows = factor.row_start[s + 1] - factor.row_start[s];
    require(rows >= columns && columns % 3 == 0 && rows % 3 == 0 &&
                factor.value_start[s + 1] - factor.value_start[s] == rows * columns,
            "the factor's numbers");
  }
  for (std::size_t lane = 0; lane < system.right.size(); ++lane)
    require(system.moduli[lane].size() == numbers_of_element * mesh.element.size() &&
                system.bond[lane].size() == 2 * mesh.facet.size() && system.right[lane].size() == 3 * nodes,
            "a lane's numbers");
}

}  // namespace

void write(const LaneSystem& system, const std::filesystem::path& file) {
  const std::filesystem::path beside = file.string() + ".part";
  std::ofstream out(beside, std::ios::binary);
  put(out, magic, sizeof magic);
  put(out, &byte_order, 1);
  put(out, &system.mesh.nodes, 1);
  put(out, system.mesh.facet_mass.data(), system.mesh.facet_mass.size());
  const std::uint64_t lanes = system.right.size();
  put(out, &lanes, 1);
  for_arrays(system, [&](const auto& numbers) {
    const std::uint64_t count = numbers.size();
    put(out, &count, 1);
    put(out, numbers.data(), numbers.size());
  });
  out.close();
  if (!out) throw std::runtime_error("lane system " + file.string() + ": it cannot be written");
  std::filesystem::rename(beside, file);
}

LaneSystem read_lane_system(const std::filesystem::path& file) {
  Reader reader(file);
  char head[sizeof magic];
  reader.get(head, sizeof head);
  if (std::memcmp(head, magic, sizeof magic) != 0) reader.fail("it is no lane system of this version");
  double order = 0;
  reader.get(&order, 1);
  if (order != byte_order) reader.fail("it comes from a machine that keeps numbers otherwise");
  LaneSystem system;
  reader.get(&system.mesh.nodes, 1);
  reader.get(system.mesh.facet_mass.data(), system.mesh.facet_mass.size());
  std::uint64_t lanes = 0;
  reader.get(&lanes, 1);
  if (system.mesh.nodes < 0 || lanes > reader.left()) reader.fail("a length in it is wrong");
  system.moduli.resize(lanes);
  system.bond.resize(lanes);
  system.right.resize(lanes);
  for_arrays(system, [&](auto& numbers) { reader.get(numbers); });
  if (reader.left() != 0) reader.fail("it goes on after its end");
  require_fits(system, reader);
  return system;
}

}  // namespace setstress
