#include "cases/study/runs/mesh_cache.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cstring>
#include <fstream>
#include <sstream>
#include <type_traits>

#include "cases/reader/checksum.hpp"
#include "viz/files/write_file.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

/// Puts values one after the other.
class Writer {
 public:
  template <class T>
  void operator()(const T& value) {
    static_assert(std::is_trivially_copyable_v<T>);
    bytes_.append(reinterpret_cast<const char*>(&value), sizeof value);
  }
  void operator()(const Eigen::Vector3d& point) {
    for (const double coordinate : point) (*this)(coordinate);
  }
  void operator()(const std::string& text) {
    (*this)(text.size());
    bytes_ += text;
  }
  void operator()(const Region& region) {
    (*this)(region.name);
    (*this)(region.increment);
  }
  void operator()(const Surface& surface) {
    (*this)(surface.name);
    (*this)(surface.facets);
  }
  template <class T>
  void operator()(const std::vector<T>& values) {
    (*this)(values.size());
    for (const T& value : values) (*this)(value);
  }
  [[nodiscard]] const std::string& bytes() const { return bytes_; }

 private:
  std::string bytes_;
};

/// Takes them out again, in the same order; throws std::out_of_range where there is not enough.
class Reader {
 public:
  explicit Reader(std::string_view bytes) : left_(bytes) {}

  template <class T>
  void operator()(T& value) {
    static_assert(std::is_trivially_copyable_v<T>);
    std::memcpy(&value, take(sizeof value).data(), sizeof value);
  }
  void operator()(Eigen::Vector3d& point) {
    for (double& coordinate : point) (*this)(coordinate);
  }
  void operator()(std::string& text) { text = take(size()); }
  void operator()(Region& region) {
    (*this)(region.name);
    (*this)(region.increment);
  }
  void operator()(Surface& surface) {
    (*this)(surface.name);
    (*this)(surface.facets);
  }
  template <class T>
  void operator()(std::vector<T>& values) {
    values.resize(size());
    for (T& value : values) (*this)(value);
  }

 private:
  std::size_t size() {
    std::size_t count = 0;
    (*this)(count);
    if (count > left_.size()) throw std::out_of_range("a list that is longer than the file");
    return count;
  }
  std::string_view take(std::size_t count) {
    if (count > left_.size()) throw std::out_of_range("the end of the file");
    const std::string_view taken = left_.substr(0, count);
    left_.remove_prefix(count);
    return taken;
  }
  std::string_view left_;
};

template <class Mover, class SomeMesh>
void move_mesh(Mover& move, SomeMesh& mesh) {
  move(mesh.nodes);
  move(mesh.tetrahedra);
  move(mesh.regions);
  move(mesh.bond);
  move(mesh.walls);
  move(mesh.surfaces);
}

std::string slurp(const fs::path& file) {
  std::ifstream in(file, std::ios::binary);
  std::ostringstream bytes;
  bytes << in.rdbuf();
  return in ? bytes.str() : std::string();
}

}  // namespace

MeshCache::MeshCache(fs::path folder) : folder_(std::move(folder)) {
  make_folders(folder_);
}

std::optional<Mesh> MeshCache::find(const std::string& key) const {
  const std::string bytes = slurp(folder_ / (key + ".mesh"));
  std::uint64_t sum = 0;
  if (bytes.size() < sizeof sum) return {};
  std::memcpy(&sum, bytes.data(), sizeof sum);
  const std::string_view content = std::string_view(bytes).substr(sizeof sum);
  if (Checksum().add(content).value() != sum) return {};
  Mesh mesh;
  try {
    Reader reader(content);
    move_mesh(reader, mesh);
  } catch (const std::out_of_range&) {
    return {};
  }
  return mesh;
}

void MeshCache::keep(const std::string& key, const Mesh& mesh) const {
  Writer writer;
  move_mesh(writer, mesh);
  const std::uint64_t sum = Checksum().add(writer.bytes()).value();
  std::string host(256, '\0');
  gethostname(host.data(), host.size() - 1);
  const fs::path part = folder_ / fmt::format("{}.{}-{}.part", key, host.c_str(), getpid());
  std::ofstream out(part, std::ios::binary);
  out.write(reinterpret_cast<const char*>(&sum), sizeof sum);
  out.write(writer.bytes().data(), static_cast<std::streamsize>(writer.bytes().size()));
  out.close();
  std::error_code ignored;
  if (out)
    fs::rename(part, folder_ / (key + ".mesh"), ignored);
  else
    fs::remove(part, ignored);
}

}  // namespace setstress
