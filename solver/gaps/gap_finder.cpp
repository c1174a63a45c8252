#include "solver/gaps/gap_finder.hpp"

#include <algorithm>
#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>
#include <boost/pending/disjoint_sets.hpp>
#include <boost/property_map/function_property_map.hpp>
#include <boost/range/iterator_range.hpp>
#include <cmath>
#include <limits>
#include <map>
#include <stdexcept>

namespace setstress {

// Named, as GapFinder holds a graph of them.
struct BondWay {
  double length;  ///< [mm]
};
using Graph = boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, BondWay>;

namespace {

constexpr double nowhere = std::numeric_limits<double>::infinity();

/// Facet points, and after them one vertex for all that lies beyond the margin.
Graph graph_of(const BondWays& ways, std::size_t points) {
  std::vector<std::pair<std::size_t, std::size_t>> ends;
  std::vector<BondWay> lengths;
  const auto add = [&](std::size_t from, std::size_t to, double length) {
    ends.insert(ends.end(), {{from, to}, {to, from}});
    lengths.insert(lengths.end(), 2, BondWay{length});
  };
  for (const Touch& touch : ways.touches)
    add(static_cast<std::size_t>(touch.from), static_cast<std::size_t>(touch.to), touch.length);
  for (const RimPoint& rim : ways.rim) add(static_cast<std::size_t>(rim.point), points, rim.length);
  return {boost::edges_are_unsorted_multi_pass, ends.begin(), ends.end(), lengths.begin(), points + 1};
}

/// Sets of vertices joined step by step.
class Joined {
 public:
  explicit Joined(std::size_t vertices)
      : rank_(vertices), parent_(vertices), sets_(Map(rank_.begin(), {}), Map(parent_.begin(), {})) {
    for (std::size_t v = 0; v < vertices; ++v) sets_.make_set(v);
  }
  Joined(const Joined&) = delete;  // the sets point into their own
  Joined& operator=(const Joined&) = delete;
  void join(std::size_t a, std::size_t b) { sets_.union_set(a, b); }
  [[nodiscard]] std::size_t set_of(std::size_t v) { return sets_.find_set(v); }

 private:
  using Numbers = std::vector<std::size_t>;
  using Map =
      boost::iterator_property_map<Numbers::iterator, boost::typed_identity_property_map<std::size_t>>;
  Numbers rank_, parent_;
  boost::disjoint_sets<Map, Map> sets_;
};

const BondPoint& point_of(const Frame& frame, std::size_t p) {
  return frame.bond[p / 6][p % 6];
}

double opening_of(const Frame& frame, std::size_t p) {
  return std::max(0.0, point_of(frame, p).opening);
}

auto neighbours(const Graph& graph, std::size_t point) {
  return boost::make_iterator_range(boost::adjacent_vertices(point, graph));
}

/// Sound bond between each point and the margin [mm].
std::vector<double> sound_to_margin(const Graph& graph, const std::vector<char>& debonded) {
  const std::size_t outside = debonded.size();
  const auto sound = [&](std::size_t v,
                         std::size_t other) {  // beyond the margin counts as what lies beside it
    return debonded[v == outside ? other : v] ? 0.0 : 0.5;
  };
  const auto cost = [&](const Graph::edge_descriptor& way) {
    const std::size_t a = boost::source(way, graph), b = boost::target(way, graph);
    return graph[way].length * (sound(a, b) + sound(b, a));
  };
  std::vector<double> length(outside + 1);
  boost::dijkstra_shortest_paths(
      graph, outside,
      boost::weight_map(boost::make_function_property_map<Graph::edge_descriptor>(cost))
          .distance_map(
              boost::make_iterator_property_map(length.begin(), boost::get(boost::vertex_index, graph)))
          .predecessor_map(boost::dummy_property_map()));
  for (double& l : length)
    if (l == std::numeric_limits<double>::max()) l = nowhere;
  return length;
}

/// Goes through a gap's points in falling order of opening: that at which its widest point is joined with
/// what lies beyond the margin is its throat.
class Throats {
 public:
  Throats(const Graph& graph, const Frame& frame, const std::vector<double>& areas, double way_opening)
      : graph_(graph),
        frame_(frame),
        areas_(areas),
        way_opening_(way_opening),
        joined_(areas.size() + 1),
        entered_(areas.size() + 1, 0) {
    entered_.back() = 1;
  }
  void find(Gap& gap) {
    std::vector<int> falling = gap.points;
    std::ranges::stable_sort(falling, std::greater(), [&](int p) { return opening(p); });
    bool wide = true, met = false;
    for (const int p : falling) {
      if (wide && opening(p) < way_opening_) note_open(gap), wide = false;
      enter(p);
      if (!met && is_out(gap.widest_point)) gap.throat = opening(p), met = true;
    }
    if (wide) note_open(gap);
    gap.open_to_margin = gap.throat >= way_opening_;
  }

 private:
  [[nodiscard]] double opening(int p) const { return opening_of(frame_, static_cast<std::size_t>(p)); }
  [[nodiscard]] bool is_out(int p) {
    const auto v = static_cast<std::size_t>(p);
    return entered_[v] != 0 && joined_.set_of(v) == joined_.set_of(areas_.size());
  }
  void enter(int p) {
    const auto v = static_cast<std::size_t>(p);
    entered_[v] = 1;
    for (const std::size_t other : neighbours(graph_, v))
      if (entered_[other]) joined_.join(v, other);
  }
  void note_open(Gap& gap) {
    for (const int p : gap.points)
      if (is_out(p)) gap.area_open += areas_[static_cast<std::size_t>(p)];
  }

  const Graph& graph_;
  const Frame& frame_;
  const std::vector<double>& areas_;  ///< by facet point [mm2]
  double way_opening_;
  Joined joined_;
  std::vector<char> entered_;  ///< by facet point and what lies beyond the margin
};

/// Sets of debonded points that touch, by their first point.
std::vector<Gap> patches(const Graph& graph, const std::vector<char>& debonded) {
  Joined joined(debonded.size());
  for (std::size_t p = 0; p < debonded.size(); ++p) {
    if (!debonded[p]) continue;
    for (const std::size_t other : neighbours(graph, p))
      if (other < p && debonded[other]) joined.join(p, other);
  }
  std::vector<Gap> gaps;
  std::map<std::size_t, std::size_t> gap_of;
  for (std::size_t p = 0; p < debonded.size(); ++p) {
    if (!debonded[p]) continue;
    const auto [entry, is_new] = gap_of.try_emplace(joined.set_of(p), gaps.size());
    if (is_new) gaps.emplace_back();
    gaps[entry->second].points.push_back(static_cast<int>(p));
  }
  return gaps;
}

}  // namespace

struct GapFinder::Ways {
  std::vector<char> there;  ///< by facet
  Graph graph;
};

GapFinder::GapFinder(const Mesh& mesh, std::vector<Substrate> substrates, std::set<std::string> closed,
                     double way_opening)
    : mesh_(&mesh),
      substrates_(std::move(substrates)),
      closed_(std::move(closed)),
      way_opening_(way_opening),
      points_(bond_points(mesh)) {
  if (substrates_.size() != mesh.bond.size())
    throw std::invalid_argument("gaps: mesh and substrates have different numbers of bond facets");
  if (!(way_opening > 0)) throw std::invalid_argument("gaps: the opening of a way must be above 0");
  set_there(std::vector<char>(mesh.bond.size(), 0));
}
GapFinder::~GapFinder() = default;
GapFinder::GapFinder(GapFinder&&) noexcept = default;
GapFinder& GapFinder::operator=(GapFinder&&) noexcept = default;

void GapFinder::set_there(std::vector<char> there) {
  if (ways_ && ways_->there == there) return;
  Graph graph = graph_of(bond_ways(*mesh_, there, closed_), points_.areas.size());
  ways_ = std::make_unique<Ways>(Ways{std::move(there), std::move(graph)});
}

void GapFinder::describe(const Frame& frame, const std::vector<double>& sound, Gap& gap) const {
  std::map<std::pair<int, Substrate>, double> shares;
  gap.widest_point = gap.points.front();
  gap.sound_to_margin = nowhere;
  for (const int point : gap.points) {
    const auto p = static_cast<std::size_t>(point);
    const double opening = opening_of(frame, p);
    gap.area += points_.areas[p];
    gap.volume += opening * points_.areas[p];
    if (opening > gap.widest) gap.widest = opening, gap.widest_point = point;
    gap.sound_to_margin = std::min(gap.sound_to_margin, sound[p]);
    shares[{mesh_->bond[p / 6].wall, substrates_[p / 6]}] += points_.areas[p];
  }
  for (const auto& [where, area] : shares) gap.shares.push_back({where.first, where.second, area});
  std::ranges::stable_sort(gap.shares, std::greater(), &GapShare::area);
}

std::vector<Gap> GapFinder::of(const Frame& frame) {
  if (frame.bond.size() != mesh_->bond.size())
    throw std::invalid_argument("gaps: mesh and frame have different numbers of bond facets");
  std::vector<char> there(frame.bond.size()), debonded(6 * frame.bond.size());
  for (std::size_t f = 0; f < there.size(); ++f)
    there[f] = std::ranges::all_of(frame.bond[f], &BondPoint::active) ? 1 : 0;
  for (std::size_t p = 0; p < debonded.size(); ++p)
    debonded[p] = there[p / 6] && point_of(frame, p).debonded() ? 1 : 0;
  if (std::ranges::find(debonded, 1) == debonded.end()) return {};
  set_there(std::move(there));
  std::vector<Gap> gaps = patches(ways_->graph, debonded);
  const std::vector<double> sound = sound_to_margin(ways_->graph, debonded);
  Throats throats(ways_->graph, frame, points_.areas, way_opening_);
  for (Gap& gap : gaps) {
    describe(frame, sound, gap);
    throats.find(gap);
  }
  return gaps;
}

}  // namespace setstress
