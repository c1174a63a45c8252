#include "cases/library/unused_fields.hpp"

#include <fmt/format.h>

#include "cases/library/material_fields.hpp"

namespace setstress {

namespace {

template <typename Fields>
void append_unused(const Fields& fields, const std::string& kind, std::vector<UnusedField>& found) {
  for (const auto& field : fields)
    if (!field.unused.empty())
      found.push_back(
          {kind, field.group.empty() ? std::string(field.key) : fmt::format("{}.{}", field.group, field.key),
           std::string(field.unused)});
}

}  // namespace

std::vector<UnusedField> unused_fields() {
  std::vector<UnusedField> found;
  append_unused(composite_fields, "composite", found);
  append_unused(elastic_fields, "tissue and fixture", found);
  return found;
}

}  // namespace setstress
