#include "cases/pose/unused_values.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "cases/library/unused_fields.hpp"
#include "cases/pose/pose.hpp"

namespace setstress {

namespace {

std::string key_of(Substrate substrate) {
  std::string key = name_of(substrate);
  std::replace(key.begin(), key.end(), ' ', '-');
  return key;
}

/// Whether `root` gives a value under this dotted key.
bool gives(const Section& root, const std::string& key) {
  const std::size_t dot = key.find('.');
  if (dot == std::string::npos) return root.has(key);
  const std::string head = key.substr(0, dot);
  return root.is_table(head) && gives(root.section(head), key.substr(dot + 1));
}

void note(const Case& input, const std::string& key, const std::string& why,
          std::vector<std::string>& notes) {
  if (!gives(input.source, key)) return;
  std::string sentence = fmt::format("{}: {} changes no result: {}", place_of(input.source, key), key, why);
  if (std::ranges::find(notes, sentence) == notes.end()) notes.push_back(std::move(sentence));
}

/// Substrates of the facets of a wall, of all of them for "".
std::set<Substrate> substrates_on(const std::string& wall, const Case& input, const Mesh& mesh) {
  const std::vector<Substrate> substrates = substrates_of(mesh, input.bands);
  std::set<Substrate> found;
  for (std::size_t f = 0; f < mesh.bond.size(); ++f)
    if (wall.empty() || mesh.walls[static_cast<std::size_t>(mesh.bond[f].wall)] == wall)
      found.insert(substrates[f]);
  return found;
}

/// What the bond to `wall`, to all of them for "", is given for substrates that it does not touch.
void note_bond(const Case& input, const Mesh& mesh, const std::string& wall,
               std::vector<std::string>& notes) {
  const Section bond = input.source.section("bond");
  const Section section = wall.empty() ? bond : bond.section("wall").section(wall);
  const std::set<Substrate> touched = substrates_on(wall, input, mesh);
  const std::string where = wall.empty() ? "the bond" : "the bond to " + wall;
  for (const char* table : {"strength", "strength_maturity", "stiffness_maturity"}) {
    if (!section.is_table(table)) continue;
    for (const Substrate substrate : all_substrates)
      if (section.section(table).has(key_of(substrate)) && !touched.contains(substrate))
        notes.push_back(fmt::format(
            "{}: {} changes no result: {} touches no {}", section.section(table).place(key_of(substrate)),
            section.section(table).dotted(key_of(substrate)), where, name_of(substrate)));
  }
}

}  // namespace

std::optional<std::string> why_unused(const std::string& key, Mode mode) {
  if (key.starts_with("materials.override."))
    for (const UnusedField& field : unused_fields())
      if (key.ends_with("." + field.key)) return field.why;
  if (key.starts_with("bond.") && key.find(".fracture_energy_") != std::string::npos && mode == Mode::intact)
    return "the bond holds in mode \"intact\"; only in mode \"debonding\" does it let go";
  if (key.starts_with("bond.") && key.ends_with(".stick_area") && mode == Mode::debonding)
    return "it scales the chance that a wall starts to fail, which is told of mode \"intact\" only";
  return std::nullopt;
}

std::vector<std::string> unused_values(const Case& input, const Mesh& mesh) {
  std::vector<std::string> notes;
  const Section overrides = input.source.section("materials").section("override");
  for (const std::string& name : overrides.keys())
    for (const UnusedField& field : unused_fields())
      note(input, fmt::format("materials.override.{}.{}", name, field.key), field.why, notes);
  if (input.solver.mode == Mode::intact)
    note(input, "gap_fluid", "the bond holds in mode \"intact\", so there are no gaps to hold fluid", notes);
  note_bond(input, mesh, "", notes);
  for (const auto& [wall, bond] : input.materials.wall_bonds) note_bond(input, mesh, wall, notes);
  return notes;
}

std::vector<std::string> notes_on(const Case& input, const Mesh& mesh) {
  std::vector<std::string> notes = input.plan.notes;
  notes.insert(notes.end(), input.materials.notes.begin(), input.materials.notes.end());
  if (const auto& field = input.materials.strength_field; field && field->length < input.mesh_size.bond)
    notes.push_back(fmt::format(
        "{}: strength varies over {:g} mm, less than the elements along the bond measure ({:.2g} mm): weak "
        "spots are smeared; a finer mesh (fineness) shows them",
        place_of(input.source, "bond.strength_field.length"), field->length, input.mesh_size.bond));
  for (std::string& sentence : unused_values(input, mesh)) notes.push_back(std::move(sentence));
  return notes;
}

}  // namespace setstress
