#pragma once
// Gaps of one instant: connected patches of the bond that has let go. Left out: what flows or grows in a gap,
// and all that is smaller than the facets of the mesh, as voids and bubbles in the adhesive are.

#include <memory>
#include <set>
#include <string>
#include <vector>

#include "materials/tissue.hpp"
#include "solver/gaps/bond_ways.hpp"
#include "solver/model/frame.hpp"

namespace setstress {

/// Opening from which a gap counts as a way to the margin [mm]. Bacteria are about 1 um across and more (from
/// memory); fluid passes narrower ones.
inline constexpr double default_way_opening = 1e-3;

/// How much of a gap lies where.
struct GapShare {
  int wall;  ///< index into Mesh::walls
  Substrate substrate;
  double area;  ///< [mm2]
};

/// A connected patch of debonded facet points (Touch says which are connected). Openings below zero, where a
/// crack is closed, count as zero.
struct Gap {
  std::vector<int> points;       ///< facet points, 6 facet + point, rising
  std::vector<GapShare> shares;  ///< largest first
  double area = 0;               ///< [mm2]
  double volume = 0;             ///< [mm3]
  double widest = 0;             ///< opening [mm]
  int widest_point = 0;          ///< facet point that has it, the first of several
  double sound_to_margin = 0;    ///< [mm], see GapFinder; infinite where no way leads to a margin
  double throat = 0;             ///< narrowest opening on the widest way from the widest point to the margin
                                 ///< [mm]; 0 where the patch does not reach it
  double area_open = 0;          ///< from which ways lead to the margin that nowhere open less than the
                                 ///< finder's `way_opening` [mm2]
  bool open_to_margin = false;   ///< throat >= way_opening; otherwise enclosed
  [[nodiscard]] double mean_opening() const { return volume / area; }  ///< by area [mm]
};

/// Finds the gaps of frames of one mesh. Remembers what depends on the placed bond alone: not for several
/// threads at once.
///
/// Margin is the rim of the bond placed by now, so the edge of an increment too until the next covers it; not
/// where the bond ends on a surface of `closed` (planes of symmetry). `sound_to_margin` is the length of
/// sound bond on the way along the bond on which least of it lies; stretches through other gaps count
/// nothing.
class GapFinder {
 public:
  /// `substrates` by bond facet; `way_opening` [mm], > 0. The mesh must outlive this. Throws
  /// std::invalid_argument where sizes disagree, `closed` names no surface or `way_opening` is not above 0.
  GapFinder(const Mesh& mesh, std::vector<Substrate> substrates, std::set<std::string> closed = {},
            double way_opening = default_way_opening);
  ~GapFinder();
  GapFinder(GapFinder&&) noexcept;
  GapFinder& operator=(GapFinder&&) noexcept;

  /// By their first point. Their areas add up to the debonded area, their volumes to the gap volume of
  /// BondStatistics. Throws std::invalid_argument when sizes disagree.
  [[nodiscard]] std::vector<Gap> of(const Frame& frame);
  [[nodiscard]] const std::vector<double>& areas() const { return points_.areas; }  ///< by facet point [mm2]
  [[nodiscard]] double way_opening() const { return way_opening_; }

 private:
  struct Ways;  ///< along the bond placed by now
  void set_there(std::vector<char> there);
  void describe(const Frame& frame, const std::vector<double>& sound, Gap& gap) const;

  const Mesh* mesh_;
  std::vector<Substrate> substrates_;
  std::set<std::string> closed_;
  double way_opening_;
  BondPoints points_;
  std::unique_ptr<Ways> ways_;
};

}  // namespace setstress
