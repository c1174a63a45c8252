#pragma once
// A case as read and resolved: geometry, materials, supports, plan, solver settings. Units: mm, N, s, MPa,
// mW/cm2.

#include <optional>
#include <string>
#include <vector>

#include "cases/file/case_materials.hpp"
#include "cases/reader/toml_reader.hpp"
#include "mesh/build/build_mesh.hpp"
#include "solver/gaps/gap_finder.hpp"
#include "solver/model/model.hpp"
#include "solver/run/simulate.hpp"

namespace setstress {

/// The ordered increments with their waits and light, as instants since the bond was cured.
struct Plan {
  std::vector<CuttingPlane> layout;  ///< see mesh/geometry/geometry.hpp; empty for one bulk increment
  std::vector<std::string>
      layout_entries;                  ///< by plane: "file.toml:31: plan.increment[2]", which asks for it
  std::vector<std::string> materials;  ///< class of composite by increment
  Timeline timeline;
  std::optional<GapFluid> gap_fluid = {};  ///< empty: gaps hold none
  double chair_time = 0;           ///< from the cured bond to the last light off or increment placed [s]
  std::vector<std::string> notes;  ///< what the user may not have meant, sentences
};

/// What a specimen's upper plate is held by: guided across the axis, yielding along it.
struct YieldingFrame {
  double stiffness;  ///< [N/mm], > 0
};

/// What holds and loads the body.
struct Supports {
  std::vector<FixedSurface> fixed;
  std::vector<ElasticFoundation> foundations;
  std::vector<Pressure> pressures;
  std::vector<FreeStrain> free_strains;
  std::optional<YieldingFrame> frame;  ///< of specimens between plates
};

struct SourceFile {
  std::string path;
  std::string checksum;  ///< of its bytes, FNV-1a, 64 bits
};

struct Case {
  Section source;    ///< the files it was read from, to point at in messages
  std::string name;  ///< of the file, without folder and ending
  std::string title, notes;
  bool invented = false;  ///< made up for demonstration
  Geometry geometry;
  DentinBands bands;
  CaseMaterials materials;
  Supports supports;
  Plan plan;
  MeshSize mesh_size;
  bool beyond_memory;  ///< run even if it will not fit this machine's memory
  SolveOptions solver;
  std::string alone;                ///< the whole case as one file that needs no other
  std::vector<SourceFile> made_of;  ///< the files that it was read from
  /// Opening from which a gap counts as a way to the margin [mm].
  double gap_threshold = default_way_opening;
};

/// "deep-box.toml:31" of a dotted key such as "preparation.width"; of the nearest
/// section around it where it was not written.
std::string place_of(const Section& root, const std::string& dotted_key);

}  // namespace setstress
