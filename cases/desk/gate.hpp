#pragma once
// Who may speak to the desk: its own page on this machine, and nobody else in the browser.

#include <chrono>
#include <mutex>
#include <optional>
#include <string>

namespace setstress {

/// Why a request is turned away.
struct Refusal {
  int status;            ///< of HTTP
  std::string sentence;  ///< for people
};

/// What the gate looks at of a request; empty where the header is not there.
struct Knock {
  std::string host, origin, fetch_site;
  std::string path;  ///< "/TOKEN/..."
};

/// 128 random bits in hexadecimal digits.
std::string random_token();

/// Lets through what carries the token, names this server as its host (another name that was made to point
/// here is refused) and comes from a page of this server, or from no page at all.
class Gate {
 public:
  Gate(std::string token, int port);
  [[nodiscard]] std::optional<Refusal> refuses(const Knock& knock) const;
  /// The path without the token: "/api/read". Only for what was not refused.
  [[nodiscard]] std::string inside(const std::string& path) const;
  [[nodiscard]] const std::string& token() const { return token_; }

 private:
  std::string token_, host_, local_;
};

/// So many requests in a burst, so many a second after it.
class RateLimit {
 public:
  RateLimit(double burst, double per_second);
  [[nodiscard]] bool allows(std::chrono::steady_clock::time_point now = std::chrono::steady_clock::now());

 private:
  std::mutex mutex_;
  double burst_, per_second_, left_;
  std::optional<std::chrono::steady_clock::time_point> last_;
};

}  // namespace setstress
