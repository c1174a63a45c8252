#include "cases/desk/desk.hpp"

#include <fmt/format.h>
#include <sys/resource.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <map>
#include <sstream>

#include "cases/desk/case_facts.hpp"
#include "cases/desk/drafts.hpp"
#include "cases/desk/slides.hpp"
#include "cases/desk/toml_edit.hpp"
#include "cases/file/read_case.hpp"
#include "cases/reader/checksum.hpp"
#include "cases/reader/data_folder.hpp"
#include "viz/files/write_file.hpp"
#include "viz/words/caution.hpp"

namespace setstress {

namespace fs = std::filesystem;
using Json = nlohmann::ordered_json;

std::string ComparisonOrder::letters() const {
  std::string all;
  for (const PlanOrder& plan : plans) all += plan.letter;
  return all;
}

namespace {

constexpr const char* state_file = "desk.json";
constexpr int patience = 3;              // a solid is waited for, a check comes beside it
constexpr unsigned longest_draft = 120;  // [s] of a processor

std::string bytes_of(const fs::path& file) {
  std::ifstream stream(file, std::ios::binary);
  return {std::istreambuf_iterator<char>(stream), {}};
}

std::string one_of(const Json& asked, const char* key, const std::vector<std::string>& words) {
  const std::string word = asked.at(key).get<std::string>();
  if (std::ranges::find(words, word) == words.end())
    throw CaseError(fmt::format("{} is \"{}\", which this desk does not know", key, shortened(word)));
  return word;
}

PlanOrder ordered_plan(const DeskFolder& folder, const Json& plan, const std::string& settings) {
  const std::string name = plan.at("name").get<std::string>();
  const Case input = read_case_numbers(folder.layers_of(name, plan.at("text").get<std::string>()),
                                       fs::path(name).stem().string());
  Checksum sum;
  sum.add(input.name)
      .add(input.alone)
      .add(settings)
      .add(SETSTRESS_VERSION)
      .add(bytes_of(material_library_file()));
  return {plan.at("letter").get<std::string>().substr(0, 1), input.name, input.alone,
          fmt::format("run-{}", sum.text())};
}

std::string settings_of(const Json& asked) {
  return one_of(asked, "mode", {"intact", "debonding"}) + " " +
         one_of(asked, "fineness", {"coarse", "standard", "fine"});
}

std::vector<std::string> words_of(const Json& asked, int threads) {
  return {"--mode",     asked.at("mode").get<std::string>(),
          "--fineness", asked.at("fineness").get<std::string>(),
          "--threads",  std::to_string(threads)};
}

std::vector<PlanOrder> ordered_plans(const DeskFolder& folder, const Json& asked) {
  std::vector<PlanOrder> plans;
  for (const Json& plan : asked.at("plans")) plans.push_back(ordered_plan(folder, plan, settings_of(asked)));
  if (plans.empty() || plans.size() > 4) throw CaseError("a desk takes one to four plans");
  return plans;
}

ComparisonOrder ordered_comparison(std::vector<PlanOrder> plans, const std::string& what, const Json& asked) {
  if (what != "compare" && what != "why" && what != "odds")
    throw CaseError(fmt::format("what is \"{}\", which this desk does not know", shortened(what)));
  ComparisonOrder order{what, {}, std::move(plans), 0};
  if (what != "compare" && order.plans.size() != 2)
    throw CaseError("\"why\" and \"how sure\" take two plans");
  if (what == "odds") order.draws = std::clamp(asked.value("draws", 64), 2, 1024);
  Checksum sum;
  for (const PlanOrder& plan : order.plans) sum.add(plan.key);
  order.key = fmt::format("{}-{}", what, sum.add(std::to_string(order.draws)).text());
  return order;
}

/// Those of `plans` whose letters stand in `letters`.
std::vector<PlanOrder> plans_of(const std::vector<PlanOrder>& plans, const std::string& letters) {
  std::vector<PlanOrder> some;
  std::ranges::copy_if(plans, std::back_inserter(some),
                       [&](const PlanOrder& plan) { return letters.find(plan.letter) != std::string::npos; });
  return some;
}

/// The plan stands on the page: neither its file nor its lines are named.
std::string without_place(std::string text, const std::string& place) {
  for (std::size_t at = text.find(place); at != std::string::npos; at = text.find(place)) {
    const std::size_t end = text.find_first_not_of(":0123456789", at + place.size());
    text.erase(at, end == std::string::npos ? end : end - at + (text[end] == ' ' ? 1 : 0));
  }
  return text;
}

/// "solid" or "check" of a plan, in a process of its own.
std::string draft(const DeskFolder& folder, const std::string& question) {
  Json told{{"ok", true}};
  try {
    const Json asked = Json::parse(question);
    if (asked.at("what") == "check") setpriority(PRIO_PROCESS, 0, patience);
    const std::string name = asked.at("name").get<std::string>();
    const Case input = read_case_numbers(folder.layers_of(name, asked.at("text").get<std::string>()),
                                         fs::path(name).stem().string());
    told.update(asked.at("what") == "solid" ? drafted_solid(input) : drafted_check(input));
    const std::string place = (folder.path() / name).string();
    for (const char* said : {"warnings", "notes"})
      if (told.contains(said))
        for (Json& words : told[said]) words = without_place(words.get<std::string>(), place);
  } catch (const std::exception& error) {
    told = told_fault(folder, error.what());
  }
  return told.dump();
}

std::string with_edits(std::string text, const Json& edits) {
  for (const Json& edit : edits) text = with_value(text, edit.at("path"), edit.at("value"));
  return text;
}

/// `change`: "set" values, or "copy", "remove", "move" an entry of a list. A list that this file takes from
/// another one is written out, as it is to be.
std::string changed(const std::string& text, const std::string& change, const Json& asked) {
  if (change == "set") return with_edits(text, asked.at("edits"));
  const std::string list = asked.at("list").get<std::string>();
  const std::size_t at = asked.at("at").get<std::size_t>();
  if (!has_list(text, list) && asked.contains("wanted")) return with_value(text, list, asked.at("wanted"));
  if (change == "copy") return with_copied(text, list, at);
  return change == "remove" ? with_removed(text, list, at) : with_moved(text, list, at);
}

}  // namespace

Desk::Desk(DeskSettings settings)
    : settings_(std::move(settings)),
      folder_(settings_.folder),
      workers_([folder = folder_](const std::string& question) { return draft(folder, question); },
               longest_draft),
      jobs_(folder_.path() / "runs", settings_.at_once) {}

Json Desk::hello() const {
  Json told{{"ok", true},
            {"show", settings_.show},
            {"folder", folder_.path().string()},
            {"version", SETSTRESS_VERSION},
            {"caution", caution_line}};
  if (settings_.show) {
    told["slides"] = slides_of(folder_);
    return told;
  }
  told["ready"] = Json::parse(settings_.ready);
  told["files"] = files();
  told["work"] = jobs_.list();
  told["state"] = nullptr;
  if (fs::symlink_status(folder_.path() / state_file).type() == fs::file_type::regular)
    told["state"] = Json::parse(bytes_of(folder_.path() / state_file), nullptr, false);
  if (told["state"].is_discarded()) told["state"] = nullptr;
  return told;
}

Json Desk::files() const {
  const auto [cases, materials] = folder_.case_files();
  return {{"cases", cases}, {"materials", materials}};
}

/// Of a case that is being changed: they would only take the time of what is asked next.
void Desk::drop_checks() {
  for (const char* letter : {"A", "B", "C", "D"}) workers_.drop(std::string("check") + letter);
}

/// Newer questions about the same plan take the place of older ones.
Json Desk::worked_out(const std::string& what, const Json& asked) {
  const std::string letter = asked.at("letter").get<std::string>().substr(0, 1);
  if (what == "solid") drop_checks();
  const Json question{{"what", what}, {"name", asked.at("name")}, {"text", asked.at("text")}};
  const auto [end, text] = workers_.ask(what + letter, question.dump());
  if (end == Workers::End::answered) return Json::parse(text);
  const bool superseded = end == Workers::End::superseded;
  return {{"ok", false},
          {"superseded", superseded},
          {"message", superseded ? ""
                                 : fmt::format("the {} of this plan crashed, or took more than {} s; the "
                                               "desk goes on, the plan can still be changed and saved",
                                               what, longest_draft)},
          {"key", nullptr}};
}

/// A case of the folder with its own words, or a ready-made one in one piece.
Json Desk::opened(const Json& asked) const {
  const std::string name = asked.at("name").get<std::string>();
  if (asked.value("ready", false)) {
    const fs::path file = find_ready_made(name, ready_made_cases(), "case");
    return {
        {"ok", true}, {"name", name + ".toml"}, {"text", read_case_numbers(case_layers(file), name).alone}};
  }
  return {{"ok", true}, {"name", name}, {"text", folder_.read_case_file(name)}};
}

/// What is kept is not run again.
Json Desk::run(const Json& asked) {
  Json told{{"ok", true}, {"runs", Json::array()}};
  for (const PlanOrder& plan : ordered_plans(folder_, asked)) {
    const bool kept = jobs_.is_kept(plan.key);
    if (!kept) {
      const fs::path folder = jobs_.folder_of(plan.key), file = folder / (plan.stem + ".toml");
      write_file(file, plan.alone);
      std::vector<std::string> words{"run", file.string(), "--out", (folder / plan.stem).string()};
      for (const std::string& word : words_of(asked, settings_.threads)) words.push_back(word);
      (void)jobs_.submit({"run", plan.letter, plan.key, words});
    }
    told["runs"].push_back({{"letter", plan.letter}, {"key", plan.key}, {"kept", kept}});
  }
  told["work"] = jobs_.list();
  return told;
}

/// `what`: "compare" looks at kept runs; "why" and "odds" make more.
Json Desk::compare(const Json& asked) {
  const ComparisonOrder order =
      ordered_comparison(ordered_plans(folder_, asked), asked.at("what").get<std::string>(), asked);
  Json told = told_of(order);
  if (told["kept"].get<bool>()) return told;
  const fs::path folder = jobs_.folder_of(order.key);
  std::vector<std::string> words{order.is_single() ? "page" : "compare"};
  for (const PlanOrder& plan : order.plans) {
    if (order.what == "compare") {
      if (!jobs_.is_kept(plan.key))
        throw CaseError(fmt::format("plan {} has no result yet; run it first", plan.letter));
      words.push_back((jobs_.folder_of(plan.key) / plan.stem).string());
    } else {
      const fs::path file = folder / plan.letter / (plan.stem + ".toml");
      write_file(file, plan.alone);
      words.push_back(file.string());
    }
  }
  make_folders(folder);
  words.insert(words.end(), {"--out", (folder / (order.is_single() ? "page.html" : "compared")).string()});
  if (order.what == "why") words.emplace_back("--why");
  if (order.what == "odds") words.insert(words.end(), {"--odds", std::to_string(order.draws)});
  if (order.what != "compare")
    for (const std::string& word : words_of(asked, settings_.threads)) words.push_back(word);
  (void)jobs_.submit({order.what, order.letters(), order.key, words});
  told["work"] = jobs_.list();
  return told;
}

Json Desk::told_of(const ComparisonOrder& order) const {
  const char* file = order.is_single() ? "page.html" : "compared/page.html";
  return {{"ok", true},
          {"key", order.key},
          {"kept", jobs_.is_kept(order.key)},
          {"page", fmt::format("files/runs/{}/{}", order.key, file)}};
}

/// What is there already of plans, and under which keys the rest will be; nothing is begun.
Json Desk::kept(const Json& asked) const {
  Json told{{"ok", true}, {"runs", Json::array()}, {"work", jobs_.list()}};
  const std::vector<PlanOrder> plans = ordered_plans(folder_, asked);
  for (const PlanOrder& plan : plans)
    told["runs"].push_back({{"letter", plan.letter}, {"key", plan.key}, {"kept", jobs_.is_kept(plan.key)}});
  told["compare"] = told_of(ordered_comparison(plans, "compare", asked));
  const std::vector<PlanOrder> pair = plans_of(plans, asked.value("pair", std::string()));
  if (pair.size() == 2)
    for (const char* what : {"why", "odds"}) told[what] = told_of(ordered_comparison(pair, what, asked));
  return told;
}

Json Desk::told(const std::string& route, const Json& asked) {
  const auto text = [&] { return asked.at("text").get<std::string>(); };
  const auto name = [&] { return asked.at("name").get<std::string>(); };
  if (route == "read") return case_facts(folder_, name(), text());
  if (route == "check" || route == "solid") return worked_out(route, asked);
  if (route == "classes") return {{"ok", true}, {"classes", case_classes(folder_, name(), text())}};
  if (route == "set" || route == "copy" || route == "remove" || route == "move") {
    drop_checks();
    return {{"ok", true}, {"text", changed(text(), route, asked)}};
  }
  if (route == "open") return opened(asked);
  if (route == "save") {
    folder_.write_case_file(name(), text());
    return {{"ok", true}, {"files", files()}};
  }
  if (route == "state") {
    write_file(folder_.path() / state_file, asked.dump(1) + "\n");
    return {{"ok", true}};
  }
  if (route == "run") return run(asked);
  if (route == "compare") return compare(asked);
  if (route == "kept") return kept(asked);
  if (route == "stop") {
    jobs_.stop(asked.at("id").get<int>());
    return {{"ok", true}, {"work", jobs_.list()}};
  }
  throw CaseError("the desk knows no such request");
}

HttpReply Desk::file(const std::string& relative) const {
  static const std::map<std::string, std::string> types{{".html", "text/html; charset=utf-8"},
                                                        {".json", "application/json"},
                                                        {".csv", "text/csv"},
                                                        {".svg", "image/svg+xml"},
                                                        {".png", "image/png"},
                                                        {".pdf", "application/pdf"},
                                                        {".toml", "text/plain; charset=utf-8"}};
  const auto found = folder_.shown_file(relative);
  if (!found) return {404, "text/plain", "there is no such file in the folder of this desk\n"};
  return {200, types.at(found->extension().string()), bytes_of(*found)};
}

HttpReply Desk::answer(const HttpRequest& request) {
  try {
    constexpr std::string_view files = "/files/", api = "/api/";
    if (request.method == "GET" && (request.path == "/" || request.path.empty()))
      return {200, "text/html; charset=utf-8", bytes_of(settings_.page)};
    if (request.method == "GET" && request.path.starts_with(files))
      return file(request.path.substr(files.size()));
    if (request.method == "GET" && request.path == "/api/hello")
      return {200, "application/json", hello().dump()};
    if (request.method == "POST" && request.path.starts_with(api) && !settings_.show)
      return {200, "application/json",
              told(request.path.substr(api.size()), Json::parse(request.body)).dump()};
    return {404, "application/json",
            R"({"ok": false, "message": "the desk has nothing there", "key": null})"};
  } catch (const CaseError& error) {
    return {200, "application/json", told_fault(folder_, error.what()).dump()};
  } catch (const Json::exception&) {
    return {400, "application/json",
            R"({"ok": false, "message": "the desk cannot read that request", "key": null})"};
  } catch (const std::exception& error) {
    return {500, "application/json", told_fault(folder_, error.what()).dump()};
  }
}

void Desk::end_waiting() {
  jobs_.end_waiting();
  workers_.drop_all();
}

std::string Desk::news(std::uint64_t& version) const {
  constexpr std::chrono::seconds sign_of_life{5};
  const std::uint64_t before = version;
  version = jobs_.wait_for_change(version, sign_of_life);
  return version == before ? "" : jobs_.list().dump();
}

}  // namespace setstress
