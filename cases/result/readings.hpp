#pragma once
// What instruments read of a run: force and yield of a specimen's frame, its axial shrinkage, the sink of the
// free surface of a filling.

#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "cases/file/case.hpp"
#include "solver/model/frame.hpp"

namespace setstress {

/// How far the free outer surface of the filling has sunk since all of it was placed.
struct SurfaceSink {
  double middle = 0, mean = 0;  ///< of the part that faces occlusal [mm]
  double volume = 0;            ///< over all of it [mm3]
};

struct Readings {
  std::optional<double> frame_force;      ///< with which the specimen pulls its frame [N]
  std::optional<double> frame_yield;      ///< of the frame under it [mm]
  std::optional<double> axial_shrinkage;  ///< approach of the plates over the height of the specimen [-]
  std::optional<SurfaceSink> sink;
};

/// Reads one run, frame by frame in order.
class Instruments {
 public:
  /// Both must outlive this.
  Instruments(const Case& input, const Model& model);
  [[nodiscard]] Readings of(const Frame& frame);

  static constexpr const char* table_name = "readings.csv";
  /// Section of the plates' bond [mm2], 0 where there are none.
  [[nodiscard]] double area() const { return area_; }

 private:
  void read_plates(const Frame& frame, Readings& readings) const;
  [[nodiscard]] std::optional<SurfaceSink> sink(const Frame& frame);

  const Case& input_;
  const Model& model_;
  double area_ = 0, height_ = 0;    ///< of a specimen between plates [mm2], [mm]; 0: none
  std::vector<SixNodes> free_;      ///< facets of the filling's outer surface
  std::vector<SixNodes> occlusal_;  ///< those of them that face occlusal
  int middle_ = -1;                 ///< node nearest to their centre
  std::vector<int> regions_;        ///< that must be placed
  Eigen::VectorXd laid_;            ///< displacement when all of it had been placed [mm]
};

}  // namespace setstress
