#include "cases/file/flat_case.hpp"

#include <toml++/toml.h>

#include <fstream>
#include <sstream>

#include "cases/reader/checksum.hpp"
#include "cases/reader/data_folder.hpp"

namespace setstress {

namespace {

/// As lay_over(), below the top.
void merge(toml::table& below, const toml::table& above) {
  for (const auto& [key, node] : above) {
    toml::node* here = below.get(key.str());
    if (here != nullptr && here->is_table() && node.is_table())
      merge(*here->as_table(), *node.as_table());
    else
      node.visit([&, name = key.str()](const auto& value) { below.insert_or_assign(name, value); });
  }
}

/// Paths that materials.include of a flattened case names.
std::vector<std::string> includes_of(const toml::table& flat) {
  const auto node = flat["materials"]["include"];
  std::vector<std::string> files;
  if (const auto one = node.value<std::string>()) files.push_back(*one);
  if (const toml::array* several = node.as_array())
    for (const toml::node& file : *several) files.push_back(file.value_or(std::string()));
  return files;
}

/// Material files become tables of the case, read in the same order.
void write_in_materials(toml::table& flat) {
  const std::vector<std::string> files = includes_of(flat);
  if (files.empty()) return;
  toml::table& materials = *flat.get_as<toml::table>("materials");
  toml::array own;
  for (const std::string& file : files) own.push_back(*parse_toml(std::filesystem::path(file)));
  if (const toml::array* before = materials.get_as<toml::array>("own"))
    for (const toml::node& table : *before) own.push_back(*table.as_table());
  materials.erase("include");
  materials.insert_or_assign("own", std::move(own));
}

std::string bytes_of(const std::filesystem::path& file) {
  std::ifstream stream(file, std::ios::binary);
  std::ostringstream bytes;
  bytes << stream.rdbuf();
  return bytes.str();
}

}  // namespace

void make_includes_absolute(toml::table& layer, const std::filesystem::path& folder) {
  toml::table* materials = layer.get_as<toml::table>("materials");
  toml::node* include = materials != nullptr ? materials->get("include") : nullptr;
  if (include == nullptr) return;
  const auto absolute = [&](toml::node& file) {
    if (auto* text = file.as_string())
      *text = std::filesystem::absolute(folder / text->get()).lexically_normal().string();
  };
  if (toml::array* files = include->as_array())
    for (toml::node& file : *files) absolute(file);
  else
    absolute(*include);
}

void lay_over(toml::table& below, const toml::table& above) {
  if (const toml::array* keys = above.get_as<toml::array>(taken_back_key))
    for (const toml::node& key : *keys)
      if (const auto text = key.value<std::string>()) (void)take_back(below, *text);
  merge(below, above);
  below.erase(taken_back_key);
}

toml::table flattened(const CaseLayers& layers) {
  toml::table whole;
  for (auto layer = layers.rbegin(); layer != layers.rend(); ++layer) {
    toml::table copy = **layer;
    const auto& file = (*layer)->source().path;
    make_includes_absolute(copy, file ? std::filesystem::path(*file).parent_path() : std::filesystem::path());
    for (const char* of_layers : {"base", taken_back_key}) copy.erase(of_layers);
    lay_over(whole, copy);
  }
  return whole;
}

std::string standing_alone(const CaseLayers& layers, const std::string& title) {
  toml::table flat = flattened(layers);
  write_in_materials(flat);
  toml::table about{{"title", title}};
  if (const toml::table* given = flat.get_as<toml::table>("case")) merge(about, *given);
  flat.insert_or_assign("case", std::move(about));
  return text_of(flat);
}

std::vector<SourceFile> files_of(const CaseLayers& layers) {
  std::vector<std::string> paths;
  for (const auto& layer : layers)
    if (const auto& path = layer->source().path) paths.push_back(*path);
  for (const std::string& file : includes_of(flattened(layers))) paths.push_back(file);
  paths.push_back(material_library_file().string());
  std::vector<SourceFile> files;
  for (const std::string& path : paths)
    if (is_file(path)) files.push_back({path, Checksum().add(bytes_of(path)).text()});
  return files;
}

std::string text_of(const toml::table& table) {
  std::ostringstream text;
  text << table << '\n';
  return text.str();
}

}  // namespace setstress
