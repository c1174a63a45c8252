#pragma once
// What bites do, read off frames: how far the patch sinks, how gaps close and press, what tooth feels beside
// them.

#include <optional>
#include <string>
#include <vector>

#include "solver/body/contact_patch.hpp"
#include "solver/model/frame.hpp"
#include "solver/model/model.hpp"

namespace setstress {

/// Principal stresses in the tooth or fixture right behind the bond that has let go, by area of the bond
/// [MPa].
struct StressBesideGaps {
  std::string body;                          ///< "enamel", "dentin", or the fixture
  double area;                               ///< of debonded facets on it [mm2]
  double tension_mean, tension_p95;          ///< largest principal stress, tension positive
  double compression_mean, compression_p95;  ///< smallest principal stress turned round, compression positive
};

struct BiteReading {
  int bite;              ///< from 1; the last one that has begun
  double force;          ///< now [N]
  double sink;           ///< of its patch along its direction since it began, mean [mm]
  double debonded_area;  ///< [mm2]
  double closed_area;    ///< of it, where its faces press on each other [mm2]
  double closed_force;   ///< with which they do [N]
  std::vector<StressBesideGaps> beside;
};

/// Reads the frames of one run, in order.
class BiteReport {
 public:
  /// The model must outlive this.
  explicit BiteReport(const Model& model);
  /// Empty before the first bite begins.
  [[nodiscard]] std::optional<BiteReading> of(const Frame& frame);
  [[nodiscard]] const std::vector<ContactPatch>& contacts() const { return contacts_; }

 private:
  const Model& model_;
  std::vector<ContactPatch> contacts_;  ///< by bite
  int now_ = 0;                         ///< bites begun by the last frame
  double sunk_before_ = 0;              ///< of the patch when the present bite began [mm]
};

}  // namespace setstress
