#include "cases/reader/case_layers.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <toml++/toml.h>

#include <set>

#include "cases/reader/data_folder.hpp"

namespace setstress {

namespace fs = std::filesystem;

namespace {

/// The file that `base` of `here` names.
fs::path base_of(const Section& here) {
  const std::string name = here.text("base");
  const fs::path beside = here.folder("base") / name;
  if (is_file(beside)) return beside;
  std::vector<std::string> names;
  for (const fs::path& ready : ready_made_cases()) {
    if (ready.stem() == name) return ready;
    names.push_back(ready.stem().string());
  }
  const auto guess = did_you_mean(fs::path(name).stem().string(), names);
  here.fail("base",
            fmt::format("is \"{}\"; {}: {}, and no ready-made case has this name; {}ready-made are: {}",
                        shortened(name), shortened(beside.string()),
                        name.empty() ? "that names no file" : why_no_file(beside),
                        guess ? fmt::format("did you mean \"{}\"? ", *guess) : "", fmt::join(names, ", ")));
}

/// Takes back what `upper` lists, of all layers below it.
void take_back_of(const Section& upper, const CaseLayers& below) {
  if (!upper.has(taken_back_key)) return;
  for (const std::string& key : upper.texts(taken_back_key)) {
    bool found = false;
    for (const auto& layer : below) found = take_back(*layer, key) || found;
    if (!found)
      upper.fail(
          taken_back_key,
          fmt::format("lists \"{}\", which is not given in what this file builds on; list dotted keys or "
                      "sections of its base, such as \"preparation.side\"",
                      shortened(key)));
  }
}

}  // namespace

bool take_back(toml::table& table, const std::string& key) {
  toml::table* here = &table;
  std::string_view left = key;
  for (std::size_t dot = left.find('.'); dot != std::string_view::npos; dot = left.find('.')) {
    here = here->get_as<toml::table>(left.substr(0, dot));
    if (here == nullptr) return false;
    left.remove_prefix(dot + 1);
  }
  return here->erase(left) > 0;
}

CaseLayers case_layers(const fs::path& file) {
  return case_layers(parse_toml(file));
}

CaseLayers case_layers(std::shared_ptr<toml::table> top) {
  CaseLayers layers{std::move(top)};
  std::set<fs::path> seen;
  while (true) {
    seen.insert(fs::weakly_canonical(*layers.back()->source().path));
    const Section here({layers.back()});
    if (!here.has("base")) break;
    const fs::path next = base_of(here);
    if (seen.contains(fs::weakly_canonical(next)))
      here.fail("base",
                fmt::format("is \"{}\", which builds on this file again: a circle", here.text("base")));
    layers.push_back(parse_toml(next));
    for (const char* of_that_file : {"case.title", "case.notes"})
      (void)take_back(*layers.back(), of_that_file);
  }
  for (std::size_t upper = layers.size(); upper-- > 0;)
    take_back_of(Section({layers[upper]}),
                 {layers.begin() + static_cast<std::ptrdiff_t>(upper) + 1, layers.end()});
  return layers;
}

}  // namespace setstress
