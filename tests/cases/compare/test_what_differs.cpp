// A comparison must name everything that can have made the difference, and nothing that has not.

#include <catch2/catch.hpp>

#include "tests/cases/compare/told_results.hpp"

using namespace setstress;
using namespace setstress::testing;
using nlohmann::ordered_json;
using Sentences = std::vector<std::string>;

namespace {

/// The sentences on what differs, between a result and the same one changed.
template <class Change>
Sentences said_of(Change change) {
  const ResultRecord a = told_result("A", {{"floor", 1.0}, {"all", 1.0}});
  ResultRecord b = told_result("B", {{"floor", 1.0}, {"all", 1.0}});
  change(b);
  return differs_sentences(what_differs(a, b), placed_alike(a, b), "\"A\"", "\"B\"");
}

ordered_json& input(ResultRecord& result, const char* key) {
  return result.manifest["inputs"][key]["value"];
}

}  // namespace

TEST_CASE("the same case twice differs in nothing", "[cases]") {
  CHECK(said_of([](ResultRecord&) {}) == Sentences{"They differ in nothing: all inputs are the same."});
}

TEST_CASE("waits, delays, threads and places in files are no more than the plan, or nothing", "[cases]") {
  CHECK(said_of([](ResultRecord& b) {
          input(b, "plan.increment[1].wait") = 300.0;
          input(b, "plan.light[1].delay") = 10.0;
          b.manifest["solver"]["threads"] = 8;
          b.manifest["inputs"]["tooth.length"]["from"] = "other.toml:3";
        }) == Sentences{"They differ in nothing but the plan."});
}

TEST_CASE("light that differs is named alone", "[cases]") {
  CHECK(said_of([](ResultRecord& b) { input(b, "plan.light[1].duration") = 10.0; }) ==
        Sentences{"Both are placed in the same way; they differ in: light.",
                  "Light: duration 40 s in \"A\" and 10 s in \"B\"."});
}

TEST_CASE("an override that differs is named alone", "[cases]") {
  CHECK(said_of([](ResultRecord& b) {
          b.manifest["materials"]["composite"]["flowable"]["values"]["youngs_modulus"]["value"] = 3000.0;
        }) == Sentences{"Both are placed in the same way; they differ in: material values.",
                        "Material values: flowable youngs modulus 6000 MPa in \"A\" and 3000 MPa in \"B\"."});
}

TEST_CASE("order of composites, adhesive, law, age and version are named", "[cases]") {
  CHECK(said_of([](ResultRecord& b) {
          const ordered_json paste{{"time_s", 10.0}, {"event", "increment 1 placed: paste"}};
          b.summary["timeline"].insert(b.summary["timeline"].begin(), paste);
          input(b, "materials.adhesive") = "one-step";
          for (auto& [key, value] : b.manifest["materials"]["adhesive"]["two-step"]["values"].items())
            if (value.contains("law")) value["law"] = "mature-at-once";
          input(b, "plan.end") = 1200.0;
          b.manifest["version"] = "0.2.0";
          input(b, "plan.increment[1].wait") = 300.0;
        }) ==
        Sentences{
            "Not all of the difference comes from how they are placed; they differ as well in: program "
            "version, composite, adhesive, maturity of the bond, time of the last reading.",
            "Program version: version 0.1.0 in \"A\" and 0.2.0 in \"B\".",
            "Composite: placed flowable in \"A\" and paste, then flowable in \"B\".",
            "Adhesive: class two-step in \"A\" and one-step in \"B\".",
            "Maturity of the bond: strength maturity chairside-rule in \"A\" and mature-at-once in \"B\".",
            "Time of the last reading: after the last light 10 min in \"A\" and 20 min in \"B\"."});
}

TEST_CASE("thirty values do not flood: four are named, all are listed", "[cases]") {
  const ResultRecord a = told_result("A", {{"floor", 1.0}, {"all", 1.0}});
  ResultRecord b = a;
  b.summary["case"] = "B";
  for (int i = 10; i < 40; ++i)
    b.manifest["inputs"]["tooth.size_" + std::to_string(i)] = {{"value", i}, {"unit", "mm"}};
  const auto pair = compare_results({a, b}).at("pairs").at(0);
  CHECK(pair.at("differs").size() == 30);
  CHECK(pair.at("sentences").back() ==
        "Tooth: size 10 none in \"A\" and 10 mm in \"B\"; size 11 none in \"A\" and 11 mm in \"B\"; size 12 "
        "none in "
        "\"A\" and 12 mm in \"B\"; size 13 none in \"A\" and 13 mm in \"B\"; and 26 more, see "
        "comparison.json.");
}

TEST_CASE("another age of the bond at the end is told, and is no more than the plan", "[cases]") {
  const ResultRecord a = told_result("A", {{"floor", 1.0}, {"all", 1.0}});
  ResultRecord b = told_result("B", {{"floor", 1.0}, {"all", 1.0}}, 365);
  b.summary["end_time_s"] = 965.0;
  input(b, "plan.increment[1].wait") = 300.0;
  const Sentences all = sentences_of(a, b);
  CHECK(Sentences(all.end() - 2, all.end()) ==
        Sentences{"The end is read 11 min 5 s after the bond was cured in \"A\" and 16 min 5 s in \"B\".",
                  "They differ in nothing but the plan."});
}
