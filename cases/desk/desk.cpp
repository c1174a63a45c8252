#include "cases/desk/desk.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <iterator>
#include <map>
#include <sstream>

#include "cases/desk/case_facts.hpp"
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

namespace {

constexpr const char* state_file = "desk.json";
constexpr const char* draft_fineness = "1.5";  // [mm] along the bond: areas within 1 %, in seconds

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

/// A plan as the page sends it, read, and the key of all that its run depends on.
struct PlanOrder {
  std::string letter, stem, alone, key;
};

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

}  // namespace

Desk::Desk(DeskSettings settings)
    : settings_(std::move(settings)),
      folder_(settings_.folder),
      drafts_(folder_.path() / "runs"),
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
  told["files"] = folder_.case_files();
  told["jobs"] = jobs_.list();
  told["state"] = nullptr;
  if (fs::symlink_status(folder_.path() / state_file).type() == fs::file_type::regular)
    told["state"] = Json::parse(bytes_of(folder_.path() / state_file), nullptr, false);
  if (told["state"].is_discarded()) told["state"] = nullptr;
  return told;
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
  return told;
}

/// `what`: "compare" looks at kept runs; "why" and "odds" make more.
Json Desk::compare(const Json& asked) {
  const std::string what = one_of(asked, "what", {"compare", "why", "odds"});
  const std::vector<PlanOrder> plans = ordered_plans(folder_, asked);
  if (what != "compare" && plans.size() != 2) throw CaseError("\"why\" and \"how sure\" take two plans");
  Checksum sum;
  std::string letters;
  for (const PlanOrder& plan : plans) {
    sum.add(plan.key);
    letters += plan.letter;
  }
  const int draws = what == "odds" ? std::clamp(asked.value("draws", 64), 2, 1024) : 0;
  const std::string key = fmt::format("{}-{}", what, sum.add(std::to_string(draws)).text());
  const fs::path folder = jobs_.folder_of(key);
  const bool single = plans.size() == 1;
  const std::string page = fmt::format("files/runs/{}/{}", key, single ? "page.html" : "compared/page.html");
  Json told{{"ok", true}, {"key", key}, {"kept", jobs_.is_kept(key)}, {"page", page}};
  if (told["kept"].get<bool>()) return told;
  std::vector<std::string> words{single ? "page" : "compare"};
  for (std::size_t i = 0; i < plans.size(); ++i) {
    const PlanOrder& plan = plans[i];
    if (what == "compare") {
      if (!jobs_.is_kept(plan.key))
        throw CaseError(fmt::format("plan {} has no result yet; run it first", plan.letter));
      words.push_back((jobs_.folder_of(plan.key) / plan.stem).string());
    } else {
      const fs::path file = folder / plan.letter / (plan.stem + ".toml");
      write_file(file, plan.alone);
      words.push_back(file.string());
    }
  }
  fs::create_directories(folder);
  words.insert(words.end(), {"--out", (folder / (single ? "page.html" : "compared")).string()});
  if (what == "why") words.emplace_back("--why");
  if (what == "odds") words.insert(words.end(), {"--odds", std::to_string(draws)});
  if (what != "compare")
    for (const std::string& word : words_of(asked, settings_.threads)) words.push_back(word);
  (void)jobs_.submit({what, letters, key, words});
  return told;
}

Json Desk::told(const std::string& route, const Json& asked) {
  const auto text = [&] { return asked.at("text").get<std::string>(); };
  const auto name = [&] { return asked.at("name").get<std::string>(); };
  const auto at = [&] { return asked.at("at").get<std::size_t>(); };
  if (route == "read") return case_facts(folder_, name(), text());
  if (route == "check") {
    const Case input = read_case_numbers(folder_.layers_of(name(), text()), "case");
    Json report = drafts_.check(asked.at("letter").get<std::string>(), name(), input.alone, draft_fineness);
    if (!report.value("ok", false) && !report.value("superseded", false))
      report.update(told_fault(folder_, report.at("message").get<std::string>()));
    return report;
  }
  if (route == "classes") return {{"ok", true}, {"classes", case_classes(folder_, name(), text())}};
  if (route == "set")
    return {{"ok", true}, {"text", with_value(text(), asked.at("path"), asked.at("value"))}};
  if (route == "copy-increment") return {{"ok", true}, {"text", with_increment_copied(text(), at())}};
  if (route == "remove-increment") return {{"ok", true}, {"text", with_increment_removed(text(), at())}};
  if (route == "move-increment") return {{"ok", true}, {"text", with_increment_moved(text(), at())}};
  if (route == "open") return opened(asked);
  if (route == "save") {
    folder_.write_case_file(name(), text());
    return {{"ok", true}, {"files", folder_.case_files()}};
  }
  if (route == "state") {
    write_file(folder_.path() / state_file, asked.dump(1) + "\n");
    return {{"ok", true}};
  }
  if (route == "run") return run(asked);
  if (route == "compare") return compare(asked);
  if (route == "stop") {
    jobs_.stop(asked.at("id").get<int>());
    return {{"ok", true}};
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

std::string Desk::news(std::uint64_t& version) const {
  constexpr std::chrono::seconds sign_of_life{20};
  const std::uint64_t before = version;
  version = jobs_.wait_for_change(version, sign_of_life);
  return version == before ? "" : jobs_.list().dump();
}

}  // namespace setstress
