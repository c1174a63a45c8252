#pragma once
// Placing taken apart: the setting of which increment loads which wall, and when.
//
// While the bond holds, tractions answer to what loads the body in proportion: conversion, and with it free
// shrinkage and stiffness, follows light and time and never stress (CureField), the film stiffens with its
// age alone, an increment is laid down free of stress on the deformed shape, and what flows relaxes in
// proportion to its stress. So at the plan's own history of stiffness loads superpose: the plan run again
// with the shrinkage of one increment only shows what the setting of that increment does, and these shares
// add up to the plan itself. The ratio of stress to strength r is no sum, but it is of first degree in the
// traction t, r(t) = r'(t) . t, so that r'(t) . t_k are shares of it that add up to r (Euler's theorem).

#include <array>
#include <optional>
#include <string>
#include <vector>

#include "cases/why/shared_runs.hpp"

namespace setstress {

/// One wall of a plan, by instant of its run. Means are over what of the wall has been placed, by area.
struct PlacedWall {
  std::string wall;                 ///< "floor", "buccal and lingual", "all"
  std::string words;                ///< "floor", "buccal and lingual walls", "whole bond"
  std::vector<double> bonded = {};  ///< by increment: of its area [mm2]
  std::vector<char> is_whole = {};  ///< by instant: all of it is placed
  std::vector<std::vector<double>> pull =
      {};  ///< by share, then instant: mean normal traction [MPa], tension +
  std::vector<std::vector<double>> ratio =
      {};  ///< by share, then instant: of the mean ratio of stress to strength

  [[nodiscard]] double whole_pull(std::size_t instant) const;   ///< sum of the shares [MPa]
  [[nodiscard]] double whole_ratio(std::size_t instant) const;  ///< sum of the shares [-]
  /// Of the highest mean ratio while all of it is placed, as in WallNumbers; empty where it never is.
  [[nodiscard]] std::optional<std::size_t> highest() const;
  /// The first instant at which a share of the pull has come to half of what it is at the end; empty for one
  /// that comes to less than 0.05 MPa.
  [[nodiscard]] std::optional<std::size_t> half_there(std::size_t share) const;
};

/// One plan.
struct Placing {
  struct Increment {
    std::string material;
    double volume;                   ///< [mm3]
    double placed;                   ///< [s] since the bond was cured
    std::optional<double> lit;       ///< first light that is meant for it [s]; empty: there is none
    std::optional<double> c_factor;  ///< when placed [-]; empty: nothing of it is free
  };
  std::string plan;
  std::vector<Increment> increments;
  std::vector<std::string> shares;  ///< "increment 1", ..., "other loads" where there are any
  std::vector<double> times;        ///< of the instants [s]
  std::vector<PlacedWall> walls;    ///< mirror images as one, the whole bond last
  double rest = 0;  ///< largest difference between sum of shares and the plan's own run, of pulls [MPa]
};

/// Throws CaseError where the bond may let go: loads do not superpose then.
void require_superposition(const Case& input);

class PlacingRuns {
 public:
  /// Meshes what has to be; what `made` (which must outlive this) serves is not solved again. Throws as
  /// require_superposition() and pose().
  PlacingRuns(const Case& first, const Case& second, const MadeRuns& made = {});
  PlacingRuns(const PlacingRuns&) = delete;
  PlacingRuns& operator=(const PlacingRuns&) = delete;
  ~PlacingRuns();

  /// To be made: of each plan its own and one for each share; fewer where a plan has one share only, or the
  /// two have one solution (solver/run/kept_bond.hpp).
  [[nodiscard]] int solutions() const;
  /// Both plans. Throws RunsStopped, std::runtime_error where shares do not add up; as simulate().
  [[nodiscard]] std::vector<Placing> solve(const SharedRuns::Watch& watch) const;

 private:
  struct Plan;
  std::vector<Plan> plans_;
  bool one_solution_ = false;
};

/// The bonded points of a mesh with how the ratio of stress to strength answers to their tractions.
class RatioSlopes {
 public:
  explicit RatioSlopes(const Mesh& mesh);
  /// r'(t) at each facet and point of `frame`, global axes [1/MPa]; zero where nothing is placed or nothing
  /// pulls.
  [[nodiscard]] std::vector<std::array<Eigen::Vector3d, 6>> of(const Frame& frame) const;
  [[nodiscard]] const Eigen::Vector3d& normal(std::size_t facet) const { return normals_[facet]; }
  [[nodiscard]] double area(std::size_t facet) const { return areas_[facet]; }  ///< [mm2]

 private:
  std::vector<Eigen::Vector3d> normals_;  ///< tooth to filling
  std::vector<double> areas_;
};

}  // namespace setstress
